using System.Globalization;
using System.Net.Http.Json;
using System.Text.Json;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Board.Access;
using Saltograph.Service.People;

namespace Saltograph.Service.Tests.People;

/// <summary>Every HTTP route against every role and no role. The table is written out by hand; a route that is not in it fails.</summary>
/// <remarks>Function level authorization: OWASP ASVS 5.0.0, 8.2.1; that it is asked on the server for each request: 8.3.1.</remarks>
public sealed class RouteMatrixTests
{
    // Who gets past the door; "nobody" is somebody who has not signed in. A guardian is called guardian here.
    private const string Staff = "coach medical analyst", Lookers = "coach medical analyst guardian", Signed = "coach medical analyst administrator guardian";

    private static readonly Dictionary<string, string> Table = new(StringComparer.Ordinal)
    {
        // Pages.
        ["GET /"] = Lookers,
        ["GET /jump"] = Lookers,
        ["GET /compare"] = Lookers,
        ["GET /jump/{Id}"] = Lookers,
        ["GET /athlete"] = Lookers,
        ["GET /athlete/{Athlete}"] = Lookers,
        ["GET /load"] = Lookers,
        ["GET /reports"] = Lookers,
        ["GET /glossary"] = Lookers,
        ["GET /warnings"] = Staff,
        ["GET /sensors"] = Staff,
        ["GET /sign-in"] = "nobody " + Signed,
        ["GET /set-password"] = "nobody " + Signed,
        ["GET /account"] = Signed,
        ["GET /people"] = "administrator",
        ["GET /went-wrong/{Status:int}"] = "nobody " + Signed,

        // What the framework adds for live pages.
        ["GET /_blazor"] = Lookers,
        ["GET /_blazor/negotiate"] = Lookers,
        ["GET /_blazor/disconnect/"] = Lookers,
        ["GET /_blazor/initializers/"] = Lookers,
        ["GET /_framework/opaque-redirect"] = "nobody " + Signed,

        // Forms.
        ["POST /account/sign-in"] = "nobody " + Signed,
        ["POST /account/set-password"] = "nobody " + Signed,
        ["POST /account/password"] = Signed,
        ["POST /account/sign-out"] = Signed,

        // The program itself.
        ["GET /health/live"] = "nobody " + Signed,
        ["GET /health/ready"] = "nobody " + Signed,
        ["GET /board/here"] = "nobody " + Signed,
        ["GET /metrics"] = "administrator",
        ["GET /openapi/{documentName}.json"] = Signed,

        // The interface of programs.
        ["GET /api/v1/jumps"] = Lookers,
        ["GET /api/v1/jumps/{id}"] = Lookers,
        ["GET /api/v1/jumps/{id}/curves"] = Lookers,
        ["GET /api/v1/reports/session.html"] = Lookers,
        ["GET /api/v1/reports/athlete-month.html"] = Lookers,
        ["GET /api/v1/reports/squad-week.html"] = Lookers,
        ["GET /api/v1/reports/guardian.html"] = Lookers,
        ["GET /api/v1/reports/comparison.html"] = Lookers,
        ["GET /api/v1/comparison"] = Lookers,
        ["GET /api/v1/sessions"] = Lookers,
        ["GET /api/v1/sessions/{id}"] = Lookers,
        ["GET /api/v1/sessions/{id}/change"] = Lookers,
        ["GET /api/v1/athletes"] = Lookers,
        ["GET /api/v1/athletes/{athlete}/load"] = Lookers,
        ["GET /api/v1/athletes/{athlete}/symmetry"] = Lookers,
        ["GET /api/v1/reliability"] = Lookers,
        ["GET /api/v1/squad/load"] = Lookers,
        ["GET /api/v1/plans"] = Lookers,
        ["PUT /api/v1/athletes/{athlete}/plans/{day}/{kind}"] = "coach medical",
        ["DELETE /api/v1/athletes/{athlete}/plans/{day}/{kind}"] = "coach medical",
        ["GET /api/v1/export/jumps.csv"] = Staff,
        ["GET /api/v1/export/jumps.jsonl"] = Staff,
        ["POST /api/v1/sessions"] = "coach medical",
        ["PUT /api/v1/sessions/{id}"] = "coach medical",
        ["POST /api/v1/sessions/{id}/close"] = "coach medical",
        ["GET /api/v1/warnings"] = Staff,
        ["GET /api/v1/warnings/{id}"] = Staff,
        ["POST /api/v1/warnings/{id}/acknowledge"] = "coach medical",
        ["POST /api/v1/warnings/{id}/shelve"] = "coach medical",
        ["POST /api/v1/warnings/{id}/unshelve"] = "coach medical",
        ["GET /api/v1/rules"] = Staff,
        ["POST /api/v1/rules/dry-run"] = Staff,
        ["GET /api/v1/sensors"] = Staff,
        ["POST /api/v1/rules/{rule}/out-of-service"] = "coach medical",
        ["POST /api/v1/rules/{rule}/into-service"] = "coach medical",
        ["GET /api/v1/tokens/"] = "coach medical analyst administrator",
        ["POST /api/v1/tokens/"] = "coach medical analyst administrator",
        ["DELETE /api/v1/tokens/{token}"] = "coach medical analyst administrator",
        ["GET /api/v1/people/"] = "administrator",
        ["PUT /api/v1/people/{person}"] = "administrator",
        ["POST /api/v1/people/{person}/link"] = "administrator",
        ["PUT /api/v1/people/{person}/athletes/{athlete}"] = "administrator",
        ["DELETE /api/v1/people/{person}/athletes/{athlete}"] = "administrator",
        ["GET /api/v1/athletes/{athlete}/consent"] = "administrator",
        ["PUT /api/v1/athletes/{athlete}/consent"] = "administrator",
        ["GET /api/v1/athletes/{athlete}/name"] = "administrator",
        ["PUT /api/v1/athletes/{athlete}/name"] = "administrator",
        ["GET /api/v1/athletes/{athlete}/everything"] = "administrator guardian",
        ["DELETE /api/v1/athletes/{athlete}/"] = "administrator",
        ["GET /api/v1/audit"] = "administrator",
    };

    [Fact]
    public async Task Every_route_lets_in_exactly_whom_the_table_says()
    {
        await using var hall = await PeopleHall.StartAsync();
        var found = Routes(hall).Where(route => !IsFile(route.Route)).ToList();
        var unknown = found.Select(route => route.Name).Where(name => !Table.ContainsKey(name)).ToList();
        Assert.True(unknown.Count == 0, $"Routes without a row in the table of this test: {string.Join(", ", unknown)}. Give each a right (Board/Access/Rights.cs) and a row.");
        Assert.Empty(Table.Keys.Except(found.Select(route => route.Name), StringComparer.Ordinal));

        var wrong = new List<string>();
        foreach (var who in Roles.All.Prepend("nobody"))
        {
            using var browser = who == "nobody" ? hall.Browser() : await hall.SignedInAsync(who);
            foreach (var (name, _) in found)
            {
                using var request = Request(name);
                using var answer = await browser.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, TestContext.Current.CancellationToken);
                var isIn = !IsRefusal(answer);
                if (isIn != Table[name].Split(' ').Contains(who == Roles.GuardianRead ? "guardian" : who, StringComparer.Ordinal))
                {
                    wrong.Add($"{who}: {name} answered {(int)answer.StatusCode}");
                }
                else if (!isIn && who == "nobody" && (int)answer.StatusCode is not (401 or 302))
                {
                    wrong.Add($"nobody: {name} answered {(int)answer.StatusCode}, not 401 or the way to sign in");
                }

                if ((int)answer.StatusCode == 302 && name == "POST /account/sign-out")
                {
                    wrong.Add($"{who}: signed out without an anti-forgery token"); // ends the session: nothing after it would count
                }
            }
        }

        Assert.Empty(wrong);
    }

    // What is mapped and forgets its right has the fallback: nobody gets in, whoever it is.
    [Fact]
    public async Task A_route_without_a_right_lets_nobody_in()
    {
        await using var hall = await PeopleHall.StartAsync();
        var policies = hall.Host.Services.GetRequiredService<Microsoft.AspNetCore.Authorization.IAuthorizationPolicyProvider>();
        var fallback = await policies.GetFallbackPolicyAsync();
        var authorization = hall.Host.Services.GetRequiredService<Microsoft.AspNetCore.Authorization.IAuthorizationService>();
        var rights = Roles.All.SelectMany(Roles.RightsOf).Distinct(StringComparer.Ordinal).Select(right => new System.Security.Claims.Claim(Rights.ClaimType, right));
        var everyRole = new System.Security.Claims.ClaimsPrincipal(new System.Security.Claims.ClaimsIdentity(rights, "test"));
        Assert.False((await authorization.AuthorizeAsync(everyRole, null, fallback!.Requirements)).Succeeded);
    }

    // Style sheets, scripts and the icon: nothing in them is about anybody.
    private static bool IsFile(RouteEndpoint route) => route.Metadata.GetMetadata<Microsoft.AspNetCore.StaticAssets.StaticAssetDescriptor>() is not null
        || route.RoutePattern.RawText == "{**path:file}"; // those that are missing, as an answer of the same part

    private static bool IsRefusal(HttpResponseMessage answer) => (int)answer.StatusCode is 401 or 403
        || ((int)answer.StatusCode == 302 && answer.Headers.Location!.OriginalString.Contains("/sign-in?to=", StringComparison.Ordinal));

    private static IEnumerable<(string Name, RouteEndpoint Route)> Routes(PeopleHall hall) => hall.Host.Services.GetRequiredService<EndpointDataSource>().Endpoints
        .OfType<RouteEndpoint>()
        .SelectMany(route => (route.Metadata.GetMetadata<IHttpMethodMetadata>()?.HttpMethods is { Count: > 0 } methods ? methods : ["GET"])
            .Where(method => method is not ("HEAD" or "OPTIONS"))
            .Select(method => (Name: $"{method} /{route.RoutePattern.RawText!.TrimStart('/')}", Route: route)))
        .Where(route => !(route.Name.StartsWith("POST ", StringComparison.Ordinal) && IsPage(route.Route))) // a page takes posts where it takes gets
        .DistinctBy(route => route.Name, StringComparer.Ordinal);

    private static bool IsPage(RouteEndpoint route) => route.Metadata.GetMetadata<Microsoft.AspNetCore.Components.Endpoints.ComponentTypeMetadata>() is not null;

    private static HttpRequestMessage Request(string name)
    {
        var space = name.IndexOf(' ', StringComparison.Ordinal);
        var path = name[(space + 1)..]
            .Replace("{documentName}", "v1", StringComparison.Ordinal).Replace("{athlete}", "amber", StringComparison.OrdinalIgnoreCase).Replace("{day}", "2027-01-15", StringComparison.Ordinal)
            .Replace("{kind}", "plan", StringComparison.Ordinal).Replace("{person}", "nobody-known", StringComparison.Ordinal).Replace("{id}", "none", StringComparison.OrdinalIgnoreCase)
            .Replace("{Status:int}", "404", StringComparison.Ordinal).Replace("{token}", "none", StringComparison.Ordinal).Replace("{warning}", "none", StringComparison.Ordinal).Replace("{rule}", "none", StringComparison.Ordinal);
        Assert.DoesNotContain("{", path, StringComparison.Ordinal);
        var request = new HttpRequestMessage(new(name[..space]), new Uri(path, UriKind.Relative));
        if (name[..space] is "PUT" or "POST")
        {
            request.Content = name.Contains("/account/", StringComparison.Ordinal) ? new FormUrlEncodedContent([]) : JsonContent.Create(new { });
        }

        return request;
    }
}
