using System.Net.Http.Json;
using System.Text.Json;
using Saltograph.Service.People;
using Saltograph.Service.Tests.Api;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.People;

/// <summary>An athlete's data only to those assigned to her: amber is, beryl is not. OWASP ASVS 5.0.0, 8.2.2 (objects), 8.2.1 (functions).</summary>
public sealed class SightTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    private static readonly string[] Readable =
    [
        "/api/v1/jumps", "/api/v1/jumps?athlete=beryl", "/api/v1/sessions?from=2027-01-01T00:00:00Z&before=2027-02-01T00:00:00Z", "/api/v1/sessions/beryl-training", "/api/v1/athletes",
        "/api/v1/athletes/beryl/load?day=2027-01-15", "/api/v1/squad/load?day=2027-01-15", "/api/v1/sessions/beryl-training/change", "/api/v1/athletes/beryl/symmetry?before=2027-02-01T00:00:00Z", "/api/v1/reliability?from=2027-01-01T00:00:00Z&before=2027-02-01T00:00:00Z", "/api/v1/plans?fromDay=2027-01-15", "/api/v1/export/jumps.csv", "/api/v1/export/jumps.jsonl", "/api/v1/reports/squad-week.html?day=2027-01-15", "/api/v1/reports/session.html?session=beryl-training", "/api/v1/reports/session.html?session=amber-training",
        "/api/v1/reports/athlete-month.html?athlete=beryl&day=2027-01-15", "/api/v1/reports/guardian.html?athlete=beryl", "/reports", "/compare", "/compare?aAthlete=beryl&bAthlete=amber", "/compare?aForm=leap&bForm=hop",
        "/api/v1/comparison?aAthlete=beryl&bAthlete=beryl", "/api/v1/comparison?aFrom=2020-01-01T00:00:00Z&bFrom=2020-01-01T00:00:00Z", "/api/v1/reports/comparison.html?aFrom=2020-01-01T00:00:00Z&bFrom=2020-01-01T00:00:00Z",
        "/api/v1/warnings", "/api/v1/warnings?athlete=beryl", "/api/v1/sensors",
        "/athlete", "/athlete/beryl", "/jump", "/jump?athlete=beryl", "/load", "/", "/sensors", "/warnings",
    ];

    [Theory]
    [InlineData("sqlite")]
    [InlineData("postgresql")]
    public async Task Nobody_gets_a_word_about_an_athlete_who_is_not_assigned(string engine)
    {
        Assert.SkipWhen(engine == "postgresql" && PostgresServer.Missing is not null, PostgresServer.Missing ?? "");
        await using var server = engine == "postgresql" ? await PostgresServer.StartAsync() : null;
        await using var hall = await PeopleHall.StartAsync(options => server is null ? options : options with { Store = new() { Kind = engine, Host = "127.0.0.1", Port = server.Port } });
        await hall.StoreJumpsAsync();
        foreach (var who in PeopleHall.Everyone)
        {
            using var browser = await hall.SignedInAsync(who);
            foreach (var path in Readable)
            {
                using var answer = await browser.GetAsync(new Uri(path, UriKind.Relative), Stop);
                var text = (await answer.Content.ReadAsStringAsync(Stop)).Replace(path, "", StringComparison.Ordinal);
                if (path.Contains("beryl", StringComparison.Ordinal))
                {
                    // What was asked for may be named; what is stored of her may not.
                    Assert.DoesNotContain("flightTimeS\":0.4", text, StringComparison.Ordinal);
                    Assert.DoesNotContain("\"jumps\":3", text, StringComparison.Ordinal);
                    Assert.DoesNotContain("href=\"/jump/", text, StringComparison.Ordinal);
                    Assert.DoesNotContain("\"openedBy\"", text, StringComparison.Ordinal);
                }
                else
                {
                    Assert.False(text.Contains("beryl", StringComparison.Ordinal), $"{who} found beryl at {path}");
                }
            }
        }

        // The same questions do find amber, so that silence is not all there is.
        using var coach = await hall.SignedInAsync(Roles.Coach);
        foreach (var path in new[] { "/api/v1/jumps", "/api/v1/athletes", "/athlete", "/jump", "/" })
        {
            Assert.Contains("amber", await coach.GetStringAsync(new Uri(path, UriKind.Relative), Stop), StringComparison.Ordinal);
        }
    }

    // Guardians sign this sheet: it says how the hall is set, not how halls usually are.
    [Fact]
    public async Task The_sheet_for_a_guardian_says_who_can_look_and_how_long_figures_are_kept()
    {
        const string sheet = "/api/v1/reports/guardian.html?athlete=amber";
        await using var hall = await PeopleHall.StartAsync(options => options with { Retention = options.Retention with { JumpsDays = 400 } });
        await hall.StoreJumpsAsync();
        using var coach = await hall.SignedInAsync(Roles.Coach);
        var text = await coach.GetStringAsync(new Uri(sheet, UriKind.Relative), Stop);
        Assert.Contains("Only those whom the hall has assigned to her see her figures", text, StringComparison.Ordinal);
        Assert.Matches("deleted after <b class=\"setting\">400</b> days", text);

        await using var open = await ApiHall.StartAsync();
        Assert.Contains("Nobody has to sign in there", await open.Client.GetStringAsync(new Uri(sheet, UriKind.Relative), Stop), StringComparison.Ordinal);
    }

    // The answer for hers is the answer for one that never was: not even that she exists is told.
    [Fact]
    public async Task The_id_of_a_jump_of_another_athlete_is_an_id_that_is_not_there()
    {
        await using var hall = await PeopleHall.StartAsync();
        await hall.StoreJumpsAsync();
        using var coach = await hall.SignedInAsync(Roles.Coach);
        var id = (await hall.Store.Jumps.PageAsync(new() { Athlete = "beryl" }, Stop)).Jumps[0].Id;
        using var hers = await coach.GetAsync(new Uri($"/api/v1/jumps/{Uri.EscapeDataString(id)}", UriKind.Relative), Stop);
        using var none = await coach.GetAsync(new Uri("/api/v1/jumps/never-was", UriKind.Relative), Stop);
        Assert.Equal(404, (int)hers.StatusCode);
        Assert.Equal(await WithoutAsync(none, "never-was"), await WithoutAsync(hers, JsonSerializer.Serialize(id).Trim('"')));

        // The number of the request differs for each.
        static async Task<string> WithoutAsync(HttpResponseMessage answer, string asked) =>
            (await answer.Content.ReadAsStringAsync(Stop)).Replace(asked, "", StringComparison.Ordinal).Split("\"traceId\"")[0];
    }

    [Fact]
    public async Task Plans_are_entered_for_athletes_of_ones_own_and_limits_after_an_injury_by_medical_only()
    {
        await using var hall = await PeopleHall.StartAsync();
        async Task<int> PutAsync(string who, string athlete, string kind)
        {
            using var browser = await hall.SignedInAsync(who);
            using var answer = await browser.PutAsJsonAsync($"/api/v1/athletes/{athlete}/plans/2027-01-16/{kind}", new { limits = new { jumps = 10 }, enteredBy = "somebody-else" }, Stop);
            return (int)answer.StatusCode;
        }

        Assert.Equal(200, await PutAsync(Roles.Coach, "amber", "plan"));
        Assert.Equal(400, await PutAsync(Roles.Coach, "amber", "return-to-play"));
        Assert.Equal(400, await PutAsync(Roles.Coach, "beryl", "plan"));
        Assert.Equal(200, await PutAsync(Roles.Medical, "amber", "return-to-play"));
        Assert.Equal(400, await PutAsync(PeopleHall.Stranger, "amber", "plan"));
        Assert.Equal(403, await PutAsync(Roles.Analyst, "amber", "plan"));
        var plans = await hall.Store.Plans.OfDaysAsync(null, "2027-01-16", "2027-01-16", Stop);
        Assert.All(plans, plan => Assert.Equal("amber", plan.Athlete));
        Assert.Equal(2, plans.Count);
        Assert.Equal(Roles.Coach, plans[0].EnteredBy); // who signed in, whatever the body says
    }

    [Fact]
    public async Task An_assignment_counts_at_once_and_so_does_its_end()
    {
        await using var hall = await PeopleHall.StartAsync();
        await hall.StoreJumpsAsync();
        using var stranger = await hall.SignedInAsync(PeopleHall.Stranger);
        using var administrator = await hall.SignedInAsync(Roles.Administrator);
        var athletes = new Uri("/api/v1/athletes", UriKind.Relative);
        var path = new Uri("/api/v1/people/stranger/athletes/beryl", UriKind.Relative);
        Assert.DoesNotContain("beryl", await stranger.GetStringAsync(athletes, Stop), StringComparison.Ordinal);
        using (await administrator.PutAsync(path, null, Stop))
        {
            Assert.Contains("beryl", await stranger.GetStringAsync(athletes, Stop), StringComparison.Ordinal);
        }

        using (await administrator.DeleteAsync(path, Stop))
        {
            Assert.DoesNotContain("beryl", await stranger.GetStringAsync(athletes, Stop), StringComparison.Ordinal);
        }
    }
}
