using System.Globalization;
using System.Text.Json;
using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>Pages of history in a browser: reports, comparing, an athlete, trying rules.</summary>
[Collection("board")]
public sealed class HistoryTests(Browser browser, FilledHall hall) : IClassFixture<FilledHall>
{
    private const float PatienceMs = 60_000;
    private const string TwoGroups = "compare?aAthlete=aster&bAthlete=ginster&aForm=leap&bForm=leap";

    [Theory]
    [InlineData("athlete/distel")]
    [InlineData("load")]
    [InlineData("warnings")]
    [InlineData("reports")]
    [InlineData("compare")]
    [InlineData(TwoGroups)]
    [InlineData("no-such-page")]
    [InlineData("athlete/nobody")]
    [InlineData("compare?aFrom=yesterday")]
    [InlineData("jump/none")]
    [InlineData("compare?aAthlete=aster&bJump=none")]
    [InlineData("api/v1/reports/session.html")]
    [InlineData("api/v1/reports/athlete-month.html?athlete=birke")]
    [InlineData("api/v1/reports/squad-week.html")]
    [InlineData("api/v1/reports/guardian.html?athlete=birke")]
    [InlineData("api/v1/reports/comparison.html?aAthlete=aster&bAthlete=ginster")]
    public async Task A_page_of_weeks_is_accessible_in_light_and_dark_and_fits_a_narrow_phone(string path)
    {
        var page = await browser.OpenAsync(path, address: hall.Address);
        await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).WaitForAsync();
        await PageChecks.NoBarrierAsync(page);
        await PageChecks.FitsAPhoneAsync(page);
        await page.Context.CloseAsync();
    }

    // Only keys: from the address to the words, and to the sides swapped.
    [Fact]
    public async Task Two_groups_are_chosen_and_compared_by_keyboard_alone()
    {
        var page = await browser.OpenAsync("compare", address: hall.Address);
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.PressAsync("Enter"); // to the page's content
        await page.Keyboard.PressAsync("Tab");
        Assert.Equal("aAthlete", await page.EvaluateAsync<string>("document.activeElement.name"));
        await page.Keyboard.TypeAsync("aster");
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.TypeAsync("leap");
        await TabToAsync(page, "bAthlete");
        await page.Keyboard.TypeAsync("ginster");
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.TypeAsync("leap");
        await TabToAsync(page, "compare-go");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator(".remarks .big").First.WaitForAsync(new() { Timeout = PatienceMs });

        // Built so: the squad's later names fly longer, by 12 ms each.
        Assert.Matches("(?i)longer in the air|higher|faster off the floor", string.Join('|', await page.Locator(".remarks .big").AllInnerTextsAsync()));
        await page.GetByRole(AriaRole.Link, new() { Name = "Swap A and B" }).FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await page.WaitForURLAsync(address => address.Contains("aAthlete=ginster", StringComparison.Ordinal), new() { Timeout = PatienceMs });
        ILocator Told(string words) => page.Locator(".remarks .big", new() { HasText = words });
        await Told("shorter in the air").Or(Told("lower")).Or(Told("slower off the floor")).First.WaitForAsync(new() { Timeout = PatienceMs });

        // These jumps have no curves: what would be laid side by side is not offered.
        await page.GetByText("No curves are kept for both sides").WaitForAsync(new() { Timeout = PatienceMs });
        Assert.Equal(0, await page.GetByRole(AriaRole.Link, new() { Name = "Side by side" }).CountAsync());
        await page.Context.CloseAsync();
    }

    // From the page of a jump: it is B, what it is held against is offered, and it is not held against itself.
    [Fact]
    public async Task A_jump_leads_to_its_comparison_with_the_others_of_its_day()
    {
        var page = await browser.OpenAsync("jump?athlete=aster&form=leap", address: hall.Address);
        await page.Locator(".rows tbody th a").First.ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Compare with …" }).ClickAsync();
        await page.GetByText("Choose jumps for A too.").WaitForAsync(new() { Timeout = PatienceMs });
        var jump = System.Web.HttpUtility.ParseQueryString(new Uri(page.Url).Query)["bJump"];
        await page.GetByRole(AriaRole.Link, new() { Name = "against those of the same day only" }).ClickAsync();
        await page.Locator("p.who").WaitForAsync(new() { Timeout = PatienceMs });
        var asked = System.Web.HttpUtility.ParseQueryString(new Uri(page.Url).Query);
        Assert.Equal(jump, asked["bJump"]);
        var day = DateTime.Parse(asked["aFrom"]!, CultureInfo.InvariantCulture);
        var list = JsonElement.Parse(await (await page.APIRequest.GetAsync(new Uri(hall.Address, "api/v1/jumps?athlete=aster&form=leap&limit=1000").ToString())).TextAsync());
        var others = list.GetProperty("jumps").EnumerateArray().Count(each => each.GetProperty("landing").GetString()!.StartsWith(day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), StringComparison.Ordinal)) - 1;
        Assert.Contains(string.Create(CultureInfo.InvariantCulture, $"A: jumps {others}, of aster. B: jumps 1, of aster."), await page.Locator("p.who").InnerTextAsync(), StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_report_button_of_a_comparison_opens_the_same_comparison()
    {
        var page = await browser.OpenAsync(TwoGroups, address: hall.Address);
        var remarks = await page.Locator(".remarks li").CountAsync();
        var report = await OpensAsync(page, () => page.GetByRole(AriaRole.Link, new() { Name = "Report", Exact = true }).ClickAsync());
        Assert.InRange(remarks, 1, 4);
        Assert.InRange(await report.Locator("ol q").CountAsync(), remarks, 30);
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("A training", "Training of")]
    [InlineData("Four weeks of one athlete", "Four weeks of aster")]
    [InlineData("A week of the squad", "The squad from")]
    [InlineData("A sheet for a guardian", "What is recorded of aster")]
    public async Task A_report_is_made_from_its_button_in_a_tab_of_its_own(string name, string title)
    {
        var page = await browser.OpenAsync("reports", address: hall.Address);
        var part = page.GetByRole(AriaRole.Region, new() { Name = name });
        var report = await OpensAsync(page, () => part.GetByRole(AriaRole.Button).ClickAsync());
        Assert.StartsWith(title, await report.GetByRole(AriaRole.Heading, new() { Level = 1 }).InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("reports", new Uri(page.Url).Segments[^1]);
        await page.Context.CloseAsync();
    }

    // The highest of four weeks, as the interface has it, is the first of the best three.
    [Fact]
    public async Task An_athletes_page_shows_best_three_landing_history_change_inside_a_training_and_series()
    {
        var page = await browser.OpenAsync("athlete/distel", address: hall.Address);
        var shown = await page.Locator(".podium ol").Nth(1).Locator(".value").First.InnerTextAsync();
        var answer = JsonElement.Parse(await (await page.APIRequest.GetAsync(new Uri(hall.Address, "api/v1/jumps?athlete=distel&limit=1000").ToString())).TextAsync());
        var highest = answer.GetProperty("jumps").EnumerateArray().Max(jump => jump.GetProperty("heightM").GetDouble());
        Assert.Equal((highest * 100).ToString("F1", CultureInfo.InvariantCulture), shown);
        foreach (var heading in new[] { "Landing history", "Inside a training", "Left and right", "Leaps in a row", "Notes" })
        {
            Assert.True(await page.GetByRole(AriaRole.Heading, new() { Name = heading, Exact = true }).IsVisibleAsync(), heading);
        }

        var hard = answer.GetProperty("jumps").EnumerateArray().Count(jump => jump.GetProperty("landingClass").GetString() == "hard");
        Assert.Equal(hard.ToString(CultureInfo.InvariantCulture), await page.Locator(".legend li", new() { HasText = "hard" }).Locator("strong").InnerTextAsync());
        await page.Context.CloseAsync();
    }

    // The same figures as the interface gives for her last training.
    [Fact]
    public async Task An_athletes_page_compares_the_sides_of_her_last_training_with_her_own()
    {
        var page = await browser.OpenAsync("athlete/distel", address: hall.Address);
        var answer = JsonElement.Parse(await (await page.APIRequest.GetAsync(new Uri(hall.Address, "api/v1/athletes/distel/symmetry").ToString())).TextAsync());
        var last = answer.GetProperty("trainings").EnumerateArray().Last(training => training.GetProperty("symmetryIndexPercent").ValueKind == JsonValueKind.Number);
        string Percent(string key) => last.GetProperty(key).GetDouble().ToString("+0;\u22120;0", CultureInfo.InvariantCulture);
        var text = await page.GetByText("Her own, median of the trainings before").InnerTextAsync();
        Assert.Contains($", leap: {Percent("symmetryIndexPercent")} %.", text, StringComparison.Ordinal);
        Assert.Contains($"({last.GetProperty("earlierTrainings").GetInt32()}): {Percent("baselinePercent")} %.", text, StringComparison.Ordinal);
        Assert.Contains(
            last.GetProperty("changePercent").ValueKind == JsonValueKind.Number ? $"changed by {Percent("changePercent")} points" : "no change beyond error", text, StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }

    // Nobody shall read a list of all days and take it for the day that she asked for.
    [Theory]
    [InlineData("compare?aAthlete=aster&bAthlete=ginster&bFrom=yesterday", "B, From day: found “yesterday”; allowed: a day as year-month-day, such as 20")]
    [InlineData("compare?aAthlete=aster&bAthlete=ginster&aTo=2026-02-30", "A, To day: found “2026-02-30”; allowed: a day as year-month-day, such as 20")]
    [InlineData("compare?aAthlete=aster&bAthlete=ginster&aTo=9999-12-31", "A, To day: found “9999-12-31”; allowed: a day from 1900-01-01 to 9000-12-31")]
    [InlineData("compare?aAthlete=nobody&bAthlete=ginster", "A, Athlete: found “nobody”; allowed: aster, birke")]
    [InlineData("jump?day=0001-01-01", "Day: found “0001-01-01”; allowed: a day from 1900-01-01")]
    [InlineData("jump?form=flip", "Form: found “flip”; allowed: leap, hop, jump, assemble, sissonne")]
    public async Task A_page_that_is_asked_for_what_there_is_not_says_what_was_found_and_what_is_allowed_and_shows_no_other_jumps(string path, string told)
    {
        var page = await browser.OpenAsync(path, address: hall.Address);
        Assert.Contains(told, await page.Locator("[data-asked]").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(0, await page.Locator("main table, .remarks").CountAsync());
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_list_of_athletes_tells_how_much_each_jumped_in_four_weeks_and_when_last()
    {
        var page = await browser.OpenAsync("athlete", address: hall.Address);
        var link = page.GetByRole(AriaRole.Link, new() { Name = "birke" });
        var from = DateTimeOffset.UtcNow.AddDays(-27).Date;
        var answer = JsonElement.Parse(await (await page.APIRequest.GetAsync(new Uri(hall.Address, "api/v1/jumps?athlete=birke&limit=1000").ToString())).TextAsync());
        var days = answer.GetProperty("jumps").EnumerateArray().Select(jump => DateTimeOffset.Parse(jump.GetProperty("landing").GetString()!, CultureInfo.InvariantCulture).Date).Where(day => day >= from).ToArray();
        Assert.Contains(string.Create(CultureInfo.InvariantCulture, $"jumps: {days.Length}, on days: {days.Distinct().Count()}"), await link.InnerTextAsync(), StringComparison.Ordinal);
        Assert.Contains(days.Max().ToString("'last on 'ddd d MMM", CultureInfo.InvariantCulture), await link.InnerTextAsync(), StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Rules_are_tried_on_the_last_weeks_and_a_stricter_rule_warns_less()
    {
        var page = await browser.OpenAsync("warnings", address: hall.Address);
        await page.Locator(".trial button[type=submit]").WaitForAsync();
        var row = page.Locator(".trial tbody tr", new() { HasText = "hard-landings" });
        await TryUntilAsync(page, 1);
        var inUse = int.Parse(await row.Locator("td").Nth(0).InnerTextAsync(), CultureInfo.InvariantCulture);
        Assert.Equal(inUse, int.Parse(await row.Locator("td").Nth(1).InnerTextAsync(), CultureInfo.InvariantCulture)); // the same rules, the same outcome
        Assert.InRange(inUse, 1, 1000);

        var knobs = page.Locator(".knobs li", new() { HasText = "hard-landings" }).Locator("input[type=number]");
        for (var i = 0; i < await knobs.CountAsync(); i++)
        {
            var value = int.Parse(await knobs.Nth(i).InputValueAsync(), CultureInfo.InvariantCulture);
            if (value is 2 or 3)
            {
                await knobs.Nth(i).FillAsync("5"); // five hard of five, or within the minute: three in a row are planted
                await knobs.Nth(i).BlurAsync();
            }
        }

        await TryUntilAsync(page, 2);
        Assert.InRange(int.Parse(await row.Locator("td").Nth(1).InnerTextAsync(), CultureInfo.InvariantCulture), 0, inUse - 1);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_rule_that_is_not_allowed_is_told_with_what_is()
    {
        var page = await browser.OpenAsync("warnings", address: hall.Address);
        await TryUntilAsync(page, 1); // its socket is there
        var knob = page.Locator(".knobs li", new() { HasText = "shock-rise" }).Locator("input[type=number]").First;
        await knob.FillAsync("0.5");
        await knob.BlurAsync();
        await page.Locator(".trial button[type=submit]").ClickAsync();
        var fault = page.Locator(".trial .fault");
        await fault.WaitForAsync(new() { Timeout = PatienceMs });
        Assert.Contains("1.05 to 3", await fault.InnerTextAsync(), StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }

    private static async Task TryUntilAsync(IPage page, int runs)
    {
        // Before its socket is there a page cannot answer: it says so itself.
        await page.Locator(".trial[data-live]").WaitForAsync(new() { Timeout = PatienceMs });
        await page.Locator(".trial button[type=submit]").ClickAsync();
        await page.Locator(string.Create(CultureInfo.InvariantCulture, $"[data-trial-done='{runs}']")).WaitForAsync(new() { Timeout = PatienceMs });
        await page.Locator(".trial button[type=submit]:enabled").WaitForAsync(new() { Timeout = PatienceMs });
    }

    private static async Task TabToAsync(IPage page, string name)
    {
        for (var i = 0; i < 20 && await page.EvaluateAsync<string>("document.activeElement.name || document.activeElement.id") != name; i++)
        {
            await page.Keyboard.PressAsync("Tab");
        }
    }

    private static async Task<IPage> OpensAsync(IPage page, Func<Task> act)
    {
        var report = await page.Context.RunAndWaitForPageAsync(act);
        await report.GetByRole(AriaRole.Heading, new() { Level = 1 }).WaitForAsync(new() { Timeout = PatienceMs });
        return report;
    }

    /// <summary>Pictures to be looked at by people, in <c>screens</c> beside the test program; reports also as they print.</summary>
    [Theory]
    [InlineData("desktop", 1440, 900, false)]
    [InlineData("tablet", 820, 1180, false)]
    [InlineData("phone", 360, 780, false)]
    [InlineData("dark", 1440, 900, true)]
    public async Task Every_page_of_history_can_be_pictured(string name, int width, int height, bool dark)
    {
        Assert.SkipUnless(Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1", "pictures of the long run: the pages themselves are tested above");
        var folder = Directory.CreateDirectory(Path.Combine(AppContext.BaseDirectory, "screens")).FullName;
        var page = await browser.OpenAsync("reports", width, height, dark, hall.Address);
        var jumps = JsonElement.Parse(await (await page.APIRequest.GetAsync(new Uri(hall.Address, "api/v1/jumps?athlete=distel&limit=1").ToString())).TextAsync());
        var jump = Uri.EscapeDataString(jumps.GetProperty("jumps")[0].GetProperty("id").GetString()!);
        foreach (var (picture, path) in new[]
        {
            ("history-athlete", "athlete/distel"), ("history-load", "load"), ("history-warnings", "warnings"), ("history-reports", "reports"), ("compare-empty", "compare"), ("compare-one", "compare?bJump={jump}"), ("compare-fault", "compare?aAthlete=distel&aFrom=yesterday&bAthlete=aster"), ("missing", "no-such-page"), ("compare", TwoGroups), ("compare-side", TwoGroups + "&view=side"), ("history-jumps", "jump"), ("history-jump", "jump/{jump}"), ("history-athletes", "athlete"),
            ("report-session", "api/v1/reports/session.html"), ("report-month", "api/v1/reports/athlete-month.html?athlete=birke"), ("report-week", "api/v1/reports/squad-week.html"),
            ("report-guardian", "api/v1/reports/guardian.html?athlete=birke"), ("report-comparison", "api/v1/reports/comparison.html?aAthlete=aster&bAthlete=ginster"),
        })
        {
            await page.GotoAsync("/" + path.Replace("{jump}", jump, StringComparison.Ordinal));
            await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).WaitForAsync();
            if (picture == "history-warnings")
            {
                await TryUntilAsync(page, 1);
            }

            var file = Path.Combine(folder, $"{picture}-{name}.png");
            await page.ScreenshotAsync(new() { Path = file, FullPage = picture is not "report-session" });
            Assert.True(new FileInfo(file).Length > 10_000, $"{file} is empty");
            if (picture.StartsWith("report", StringComparison.Ordinal) && name == "desktop")
            {
                await page.PdfAsync(new() { Path = Path.Combine(folder, picture + ".pdf"), PreferCSSPageSize = true, PrintBackground = true });
            }
        }

        await page.Context.CloseAsync();
    }
}
