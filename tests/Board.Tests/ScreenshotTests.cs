using System.Globalization;
using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>Pictures of every live page, to be looked at by people: folder <c>screens</c> beside the test program.</summary>
[Collection("board")]
public sealed class ScreenshotTests(Browser browser)
{
    private const float PatienceMs = 120_000;

    private static readonly (string Name, string Path)[] Pages =
    [
        ("floor", ""), ("jumps", "jump"), ("jumps-fault", "jump?day=today"), ("athletes", "athlete"), ("athlete", "athlete/distel"), ("load", "load"), ("warnings", "warnings"), ("warnings-answer", "warnings"), ("sensors", "sensors"), ("glossary", "glossary"),
        ("sign-in", "sign-in"), ("set-password", "set-password"), ("account", "account"),
    ];

    [Theory]
    [InlineData("desktop", 1440, 900, false)]
    [InlineData("tablet", 820, 1180, false)]
    [InlineData("phone", 360, 780, false)]
    [InlineData("dark", 1440, 900, true)]
    [InlineData("phone-dark", 360, 780, true)]
    public async Task Every_page_can_be_pictured(string name, int width, int height, bool dark)
    {
        Assert.SkipUnless(Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1", "pictures of the long run: the pages themselves are tested above");
        var page = await browser.OpenAsync("", width, height, dark);
        await page.Locator("[data-jump]").First.WaitForAsync(new() { Timeout = PatienceMs });
        await WarnAsync(page);
        var jump = await browser.SomeJumpAsync();
        foreach (var (picture, path) in Pages.Append(("jump", jump)))
        {
            await page.GotoAsync("/" + path.TrimStart('/'));
            await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).WaitForAsync();
            if (picture == "sensors")
            {
                await page.GetByRole(AriaRole.Button, new() { Name = "Check the sensors of distel" }).ClickAsync();
                await page.Locator("ol.guide").WaitForAsync(new() { Timeout = PatienceMs });
            }

            if (picture == "warnings-answer")
            {
                await page.Locator(".trial[data-live]").WaitForAsync(new() { Timeout = PatienceMs });
                await page.GetByRole(AriaRole.Button, new() { Name = "Silence", Exact = true }).First.ClickAsync();
                await page.Locator("form.answer").WaitForAsync(new() { Timeout = PatienceMs });
            }

            await TakeAsync(page, $"{picture}-{name}");
        }

        await page.Context.CloseAsync();
    }

    // Seen from three metres away; a screen on a wall has no scroll bar, so the picture is what fits.
    [Theory]
    [InlineData("wall", 1920, 1080, false)]
    [InlineData("wall-dark", 1920, 1080, true)]
    [InlineData("wall-4k", 3840, 2160, false)]
    public async Task The_wall_can_be_pictured(string name, int width, int height, bool dark)
    {
        Assert.SkipUnless(Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1", "pictures of the long run: the page itself is tested above");
        var page = await browser.OpenAsync("?screen=wall", width, height, dark);
        await page.Locator("[data-jump]").First.WaitForAsync(new() { Timeout = PatienceMs });
        await TakeAsync(page, name, isWhole: false);
        await page.Context.CloseAsync();
    }

    private static async Task TakeAsync(IPage page, string name, bool isWhole = true)
    {
        var file = Path.Combine(Directory.CreateDirectory(Path.Combine(AppContext.BaseDirectory, "screens")).FullName, name + ".png");
        await page.ScreenshotAsync(new() { Path = file, FullPage = isWhole });
        Assert.True(new FileInfo(file).Length > 10_000, $"{file} is empty");
    }

    // Three warnings that stay: plans of one jump, passed within a minute. One is acknowledged, one silenced.
    private static async Task WarnAsync(IPage page)
    {
        var api = new Uri(new Uri(page.Url), "/api/v1/");
        var day = DateTimeOffset.UtcNow.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        string[] athletes = ["amsel", "cirrus", "esche"];
        foreach (var athlete in athletes)
        {
            await page.APIRequest.PutAsync(new Uri(api, $"athletes/{athlete}/plans/{day}/plan").ToString(), new() { DataObject = new { limits = new { jumps = 1, leftLandings = 10 }, enteredBy = "coach-1" } });
        }

        await page.GotoAsync("/warnings");
        foreach (var athlete in athletes)
        {
            await page.Locator($"[data-warning^='plan.{athlete}.'], [data-shelved^='plan.{athlete}.']").First.WaitForAsync(new() { Timeout = PatienceMs });
        }

        await AnswerAsync("cirrus", "acknowledge", new { who = "coach-2", why = "Two more, then floor work" });
        await AnswerAsync("esche", "shelve", new { who = "medic-1", why = "Only walks today", until = DateTimeOffset.UtcNow.AddHours(1) });

        // Done in the picture before: then there is nothing to answer.
        async Task AnswerAsync(string athlete, string command, object entry)
        {
            var found = page.Locator($"[data-warning^='plan.{athlete}.']").First;
            if (await found.CountAsync() > 0)
            {
                await page.APIRequest.PostAsync(new Uri(api, $"warnings/{Uri.EscapeDataString((await found.GetAttributeAsync("data-warning"))!)}/{command}").ToString(), new() { DataObject = entry });
            }
        }
    }
}
