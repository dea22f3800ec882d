using System.Text.Json;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Api;

public sealed class ApiDocumentTests
{
    private static readonly JsonSerializerOptions Indented = new() { WriteIndented = true };

    [Fact]
    public async Task The_document_is_the_approved_one()
    {
        await using var hall = await ApiHall.StartAsync();
        var document = await hall.GetAsync("/openapi/v1.json");
        var found = JsonSerializer.Serialize(document, Indented).ReplaceLineEndings("\n") + "\n";
        var path = Path.Combine(Repository.Root, "tests", "Service.Tests", "Api", "openapi.json");
        if (string.Equals(Environment.GetEnvironmentVariable("SALTOGRAPH_APPROVE"), "1", StringComparison.Ordinal))
        {
            await File.WriteAllTextAsync(path, found, TestContext.Current.CancellationToken);
        }

        Assert.True(
            string.Equals(await File.ReadAllTextAsync(path, TestContext.Current.CancellationToken), found, StringComparison.Ordinal),
            "The document differs from tests/Service.Tests/Api/openapi.json; if that is meant, SALTOGRAPH_APPROVE=1 writes it anew.");
    }

    // OpenAPI 3.1.1 section 4.8.10: an operation has responses; that each has a summary and tells its errors is our own rule.
    [Fact]
    public async Task Every_operation_says_what_it_does_and_which_errors_it_gives()
    {
        await using var hall = await ApiHall.StartAsync();
        var document = await hall.GetAsync("/openapi/v1.json");
        Assert.StartsWith("3.1", document.GetProperty("openapi").GetString(), StringComparison.Ordinal);
        var operations = document.GetProperty("paths").EnumerateObject().SelectMany(path => path.Value.EnumerateObject().Select(operation => (path.Name, operation.Value))).ToList();
        Assert.NotEmpty(operations);
        Assert.All(operations, item =>
        {
            Assert.StartsWith("/api/v1/", item.Name, StringComparison.Ordinal);
            Assert.NotEmpty(item.Value.GetProperty("summary").GetString()!);
            var wrong = item.Value.GetProperty("responses").GetProperty("400");
            Assert.True(wrong.GetProperty("content").TryGetProperty("application/problem+json", out _), item.Name);
            if (item.Value.TryGetProperty("parameters", out var parameters))
            {
                Assert.All(parameters.EnumerateArray().Where(parameter => parameter.GetProperty("in").GetString() == "query"), parameter =>
                    Assert.NotEmpty(parameter.GetProperty("description").GetString()!));
            }
        });
    }
}
