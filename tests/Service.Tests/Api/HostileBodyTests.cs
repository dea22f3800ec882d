using System.Net;
using System.Net.Http.Headers;
using System.Text;

namespace Saltograph.Service.Tests.Api;

/// <summary>Bodies that a search by coverage has found, at the endpoints themselves: each is answered with a problem, none with an error of the server.</summary>
public sealed class HostileBodyTests
{
    [Theory]
    [InlineData("POST", "rules/dry-run", "application/json", "{\"rules\":[{\"id\":\"a\"}]}", HttpStatusCode.BadRequest)]
    [InlineData("POST", "rules/dry-run", "application/json", "null", HttpStatusCode.BadRequest)]
    [InlineData("POST", "rules/dry-run", "application/json", "{\"rules\":[{\"type\":\"limit\",\"id\":\"\u00ff\"}]}", HttpStatusCode.BadRequest)]
    [InlineData("PUT", "athletes/amber/plans/2027-01-15/plan", "application/json", "{\"limits\":{\"\u00ff\":1},\"enteredBy\":\"coach\"}", HttpStatusCode.BadRequest)]
    [InlineData("PUT", "athletes/amber/plans/2027-01-15/plan", "application/json; charset=nothing", "{\"limits\":{},\"enteredBy\":\"coach\"}", HttpStatusCode.UnsupportedMediaType)]
    [InlineData("POST", "sessions", "application/json; charset=nothing", "{}", HttpStatusCode.UnsupportedMediaType)]
    [InlineData("POST", "rules/limits/out-of-service", "application/json; charset=utf-7", "{}", HttpStatusCode.UnsupportedMediaType)]
    public async Task A_strange_body_is_a_problem_of_who_sent_it(string method, string path, string type, string latin, HttpStatusCode expected)
    {
        await using var hall = await ApiHall.StartAsync();
        using var request = new HttpRequestMessage(new(method), $"/api/v1/{path}") { Content = new ByteArrayContent(Encoding.Latin1.GetBytes(latin)) };
        request.Content.Headers.ContentType = MediaTypeHeaderValue.Parse(type);
        using var answer = await hall.Client.SendAsync(request, TestContext.Current.CancellationToken);
        var text = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(answer.StatusCode == expected, $"{answer.StatusCode}: {text}");
        Assert.Contains("allowed", text, StringComparison.Ordinal);
    }
}
