using System.Net;
using System.Text.Json;
using Saltograph.Service.People;
using Saltograph.Service.Tests.Api;
using Saltograph.Service.Tests.People;

namespace Saltograph.Service.Tests.Reports;

/// <summary>Reports over HTTP, each number followed to the interface that it cites.</summary>
public sealed class ReportTests(ReportTests.FilledHall filled) : IClassFixture<ReportTests.FilledHall>
{
    // One hall for all that only read.
    private readonly ApiHall _hall = filled.Hall;

    [Theory]
    [InlineData("session.html", 500)]
    [InlineData("session.html?athlete=beryl", 150)]
    [InlineData("session.html?session=amber.s3", 500)]
    [InlineData("athlete-month.html?athlete=amber", 40)]
    [InlineData("athlete-month.html?athlete=amber&day=2027-01-12", 35)]
    [InlineData("squad-week.html", 30)]
    [InlineData("guardian.html?athlete=coral", 1)]
    [InlineData("comparison.html?aAthlete=amber&aBefore=2027-01-15T00:00:00Z&bSession=amber.s0", 60)]
    [InlineData("comparison.html?aAthlete=beryl&bAthlete=coral", 60)]
    [InlineData("comparison.html?aJump=amber.0.3&bJump=amber.1.3", 12)]
    public async Task Every_number_and_time_of_a_report_is_that_of_the_interface(string report, int least)
    {
        var page = await _hall.Client.GetStringAsync(new Uri("/api/v1/reports/" + report, UriKind.Relative), TestContext.Current.CancellationToken);
        Pages.NeedsNothingElse(page);
        var citations = new Citations(_hall, ReportHall.HallZone);
        await citations.CheckAsync(page);
        Assert.InRange(citations.Numbers, least, 100_000);
        Assert.Contains("not a medical device", page, StringComparison.OrdinalIgnoreCase);
        Keep(report, page);
    }

    // Leaps that fall from 40 to 31.5 cm, so a change of 6 cm between the thirds; in the other training nothing changes.
    [Fact]
    public async Task The_report_of_a_training_tells_what_changed_in_it_beyond_error()
    {
        await using var hall = await ApiHall.StartAsync();
        await ChangeApiTests.TrainAsync(hall, "tiring", 0, 18, number => 0.40 - (0.005 * number));
        await ChangeApiTests.TrainAsync(hall, "steady", 1, 18, _ => 0.40);
        foreach (var (training, says) in new[] { ("tiring", "\u22126.0</data> cm"), ("steady", "no change beyond error") })
        {
            var page = await hall.Client.GetStringAsync(new Uri("/api/v1/reports/session.html?session=" + training, UriKind.Relative), TestContext.Current.CancellationToken);
            Assert.Contains(says, page, StringComparison.Ordinal);
            await new Citations(hall, TimeZoneInfo.Utc).CheckAsync(page);
        }
    }

    // Nine trainings of 25 jumps.
    [Theory]
    [InlineData("aAthlete=amber&bJump=amber.0.3", 224, 1)]
    [InlineData("aAthlete=beryl&bJump=amber.0.3", 225, 1)]
    [InlineData("aJump=amber.0.3&bAthlete=amber", 1, 224)]
    public async Task A_jump_is_not_compared_with_itself(string question, int jumpsA, int jumpsB)
    {
        var found = await _hall.GetAsync("/api/v1/comparison?" + question);
        Assert.Equal((jumpsA, jumpsB), (found.GetProperty("a").GetProperty("jumps").GetInt32(), found.GetProperty("b").GetProperty("jumps").GetInt32()));
    }

    // Built so: in the last training her legs open 80 ms sooner, and the words say when.
    [Fact]
    public async Task A_comparison_says_in_words_that_the_legs_open_before_take_off()
    {
        var found = await _hall.GetAsync("/api/v1/comparison?aAthlete=amber&aBefore=2027-01-15T00:00:00Z&bSession=amber.s0");
        var remark = found.GetProperty("mostDifferent").EnumerateArray().Single(each => each.GetProperty("measure").GetString() == "course.legsOpenS");
        Assert.Matches("^legs open (4[5-9]|5[0-5]) ms before take-off, against (2[5-9]|3[0-5]) ms after$", remark.GetProperty("text").GetString());
        Assert.Equal("legs-open-before", remark.GetProperty("kind").GetString());
        Assert.Contains(found.GetProperty("courses").EnumerateArray(), course => course.GetProperty("key").GetString() == "splitAngleDeg" && course.GetProperty("comparison").GetProperty("stretches").GetArrayLength() > 0);
    }

    // Each athlete has four warnings a training, one of each fate: two were acknowledged, the second of them last by somebody else.
    [Theory]
    [InlineData("session.html?athlete=beryl", 4)]
    [InlineData("session.html", 12)]
    [InlineData("athlete-month.html?athlete=amber", 36)]
    public async Task Warnings_are_listed_with_what_when_state_and_who_acknowledged_each_as_the_interface_has_it(string report, int warnings)
    {
        var page = await _hall.Client.GetStringAsync(new Uri("/api/v1/reports/" + report, UriKind.Relative), TestContext.Current.CancellationToken);
        var citations = new Citations(_hall, ReportHall.HallZone);
        await citations.CheckAsync(page);
        Assert.Equal(2 * warnings, citations.Terms); // priority and state
        Assert.Equal(warnings, Count(page, "data-take=\"/warning/raised\""));
        Assert.Equal(warnings * 3 / 4, Count(page, "data-take=\"/warning/lastChange/text\""));
        Assert.Equal(warnings / 4, Count(page, "data-take=\"/history/1/who\">coach-1<"));
        Assert.Equal(warnings / 4, Count(page, "data-take=\"/history/4/who\">physio-2<"));
        Assert.Equal(warnings / 2, Count(page, "by nobody"));
        Assert.DoesNotContain("<in a row>", page, StringComparison.Ordinal);

        var state = page.IndexOf("data-word=\"normal\"", StringComparison.Ordinal) + 11;
        await Assert.ThrowsAnyAsync<Xunit.Sdk.XunitException>(() => new Citations(_hall, ReportHall.HallZone).CheckAsync(page[..state] + "shelved" + page[(state + 6)..]));
    }

    // Guardians may look at jumps, and not at warnings.
    [Theory]
    [InlineData(Roles.Coach, true)]
    [InlineData(Roles.GuardianRead, false)]
    public async Task Who_may_not_look_at_warnings_finds_none_in_a_report(string who, bool sees)
    {
        await using var hall = await PeopleHall.StartAsync();
        await hall.StoreJumpsAsync();
        await hall.Store.WriteAsync(transaction => transaction.OpenSessionAsync(new()
        {
            Id = "amber-closed",
            Athlete = "amber",
            OpenedUs = ApiHall.MorningUs - 60_000_000,
            OpenedBy = "test",
            ClosedUs = ApiHall.MorningUs + 600_000_000,
            ClosedBy = "test",
        }), TestContext.Current.CancellationToken);
        using var browser = await hall.SignedInAsync(who);
        foreach (var report in new[] { "session.html?session=amber-closed", "athlete-month.html?athlete=amber&day=2027-01-20" })
        {
            var page = await browser.GetStringAsync(new Uri("/api/v1/reports/" + report, UriKind.Relative), TestContext.Current.CancellationToken);
            Assert.Equal(sees, page.Contains("/api/v1/warnings/amber-warning", StringComparison.Ordinal));
            Assert.Equal(sees, page.Contains("hard-landing", StringComparison.Ordinal));
            Assert.Equal(!sees, page.Contains("Warnings are left out", StringComparison.Ordinal));
            Assert.DoesNotContain("beryl-warning", page, StringComparison.Ordinal);
        }
    }

    // The check above would pass on a page whose numbers were all wrong in the same way as their citations: a page that was tampered with must fail.
    [Fact]
    public async Task A_number_that_was_changed_is_noticed()
    {
        var page = await _hall.Client.GetStringAsync(new Uri("/api/v1/reports/session.html?athlete=beryl", UriKind.Relative), TestContext.Current.CancellationToken);
        var at = page.IndexOf("data-take=\"/heightM\"", StringComparison.Ordinal);
        var shown = page.IndexOf('>', at) + 1;
        var changed = page[..shown] + (page[shown] == '1' ? '2' : '1') + page[(shown + 1)..];
        await Assert.ThrowsAnyAsync<Xunit.Sdk.XunitException>(() => new Citations(_hall, ReportHall.HallZone).CheckAsync(changed));
    }

    [Fact]
    public async Task A_report_of_one_athlete_names_no_other_and_keeps_notes_as_text()
    {
        foreach (var report in new[] { "session.html?athlete=amber", "athlete-month.html?athlete=amber", "guardian.html?athlete=amber" })
        {
            var page = await _hall.Client.GetStringAsync(new Uri("/api/v1/reports/" + report, UriKind.Relative), TestContext.Current.CancellationToken);
            Assert.DoesNotContain("beryl", page, StringComparison.Ordinal);
            Assert.DoesNotContain("<heel>", page, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("athlete-month.html", "athlete", 400)]
    [InlineData("athlete-month.html?athlete=nobody", "athlete", 404)]
    [InlineData("athlete-month.html?athlete=amber&day=yesterday", "day", 400)]
    [InlineData("session.html?session=none", "session", 404)]
    [InlineData("session.html?session=amber.s1&athlete=beryl", "session", 404)]
    [InlineData("squad-week.html?athlete=amber", "athlete", 400)]
    [InlineData("guardian.html?athlete=A%20B", "athlete", 400)]
    [InlineData("comparison.html?aAthlete=amber", "b", 400)]
    [InlineData("comparison.html?aAthlete=amber&bJump=none", "b", 404)]
    [InlineData("comparison.html?aAthlete=amber&bAthlete=beryl&bJump=amber.0.3", "bJump", 400)]
    [InlineData("comparison.html?aAthlete=amber&bForm=glide", "bForm", 400)]
    public async Task A_wrong_question_is_refused_with_where_found_and_allowed(string report, string where, int status)
    {
        using var answer = await _hall.Client.GetAsync(new Uri("/api/v1/reports/" + report, UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.Equal((HttpStatusCode)status, answer.StatusCode);
        var problem = JsonElement.Parse(await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        Assert.Equal(where, Assert.Single(problem.GetProperty("faults").EnumerateArray()).GetProperty("where").GetString());
    }

    [Fact]
    public async Task A_hall_in_which_nothing_was_measured_gets_pages_that_say_so()
    {
        await using var empty = await ApiHall.StartAsync();
        foreach (var report in new[] { "squad-week.html", "athlete-month.html?athlete=amber", "guardian.html?athlete=amber" })
        {
            Pages.NeedsNothingElse(await empty.Client.GetStringAsync(new Uri("/api/v1/reports/" + report, UriKind.Relative), TestContext.Current.CancellationToken));
        }
    }

    private static int Count(string page, string of) => page.Split(of).Length - 1;

    // Left beside the test program for looking at.
    private static void Keep(string report, string page)
    {
        var folder = Directory.CreateDirectory(Path.Combine(AppContext.BaseDirectory, "reports"));
        File.WriteAllText(Path.Combine(folder.FullName, report.Replace('?', '-').Replace('=', '-').Replace('&', '-').Replace(".html", "", StringComparison.Ordinal) + ".html"), page);
    }

    /// <summary>A hall with nine trainings of three athletes.</summary>
    public sealed class FilledHall : IAsyncLifetime
    {
        private static readonly string[] Squad = ["amber", "beryl", "coral"];

        // In Auckland the 16th: the days of the hall are not those of UTC.
        private static readonly long EndUs = ApiHall.MorningUs + (7 * 3_600_000_000L);

        internal ApiHall Hall { get; private set; } = null!;

        public async ValueTask InitializeAsync()
        {
            Hall = await ApiHall.StartAsync(zone: ReportHall.Zone, nowUs: EndUs + 3_600_000_000);
            await ReportHall.FillAsync(Hall.Store, Squad, EndUs, trainings: 9, jumpsEach: 25);
        }

        public ValueTask DisposeAsync() => Hall.DisposeAsync();
    }
}
