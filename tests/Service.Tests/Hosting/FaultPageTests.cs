using Saltograph.Service.People;
using Saltograph.Service.Tests.Api;
using Saltograph.Service.Tests.People;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>A page in place of one that is not there, not for who asks, or cannot be made. The status stays what it is (RFC 9110, 15.5.4, 15.5.5, 15.6.1).</summary>
public sealed class FaultPageTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task An_address_without_a_page_says_so_to_people_and_leads_back()
    {
        await using var hall = await ApiHall.StartAsync();
        var (status, text) = await ReadAsync(hall.Client, "/no-such-page");
        Assert.Equal(404, status);
        Assert.Contains("<h1>No such page</h1>", text, StringComparison.Ordinal);
        Assert.Contains("href=\"/\"", text, StringComparison.Ordinal);

        // A program that asks for data gets no page.
        (status, text) = await ReadAsync(hall.Client, "/api/v1/no-such-thing");
        Assert.Equal(404, status);
        Assert.DoesNotContain("<h1>", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_page_that_a_role_does_not_open_says_so()
    {
        await using var hall = await PeopleHall.StartAsync();
        using var guardian = await hall.SignedInAsync(Roles.GuardianRead);
        var (status, text) = await ReadAsync(guardian, "/warnings");
        Assert.Equal(403, status);
        Assert.Contains("<h1>Not open to you</h1>", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_page_whose_store_does_not_answer_says_so_and_tells_nothing_of_the_inside()
    {
        Assert.SkipWhen(PostgresServer.Missing is not null, PostgresServer.Missing ?? "");
        var server = await PostgresServer.StartAsync();
        await using var hall = await ApiHall.StartAsync(new() { Kind = "postgresql", Host = "127.0.0.1", Port = server.Port });
        Assert.Equal(200, (await ReadAsync(hall.Client, "/athlete")).Status);
        await server.DisposeAsync();
        var (status, text) = await ReadAsync(hall.Client, "/athlete");
        Assert.Equal(500, status);
        Assert.Contains("<h1>This page could not be made</h1>", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Npgsql", text, StringComparison.OrdinalIgnoreCase);
    }

    private static async Task<(int Status, string Text)> ReadAsync(HttpClient client, string path)
    {
        using var request = new HttpRequestMessage(HttpMethod.Get, new Uri(path, UriKind.Relative));
        request.Headers.Accept.ParseAdd("text/html");
        using var answer = await client.SendAsync(request, Stop);
        return ((int)answer.StatusCode, await answer.Content.ReadAsStringAsync(Stop));
    }
}
