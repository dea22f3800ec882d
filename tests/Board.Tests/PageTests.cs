using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>What holds for every page.</summary>
[Collection("board")]
public sealed class PageTests(Browser browser)
{
    private const string Jump = "jump/*"; // any that was measured

    private static readonly string[] Paths = ["", "?screen=wall", "jump", Jump, "glossary", "athlete", "athlete/amsel", "load", "warnings", "sensors", "reports", "people"];

    public static TheoryData<string> Pages() => [.. Paths];

    // One load for all of it: the rules of axe-core 4.x (its words: minor, moderate, serious, critical), light and dark; WCAG 2.2, 1.4.10 Reflow
    // (320 px) and 2.5.8 Target Size (Minimum, 24 by 24).
    [Theory]
    [MemberData(nameof(Pages))]
    public async Task A_page_is_sound_accessible_in_light_and_dark_and_fits_a_narrow_phone(string path)
    {
        var page = await browser.OpenAsync("about:blank");
        var faults = new List<string>();
        page.Request += (_, request) =>
        {
            if (!request.Url.StartsWith(browser.Board.Address.ToString(), StringComparison.Ordinal) && !request.Url.StartsWith("data:", StringComparison.Ordinal))
            {
                faults.Add(request.Url);
            }
        };
        page.Console += (_, line) => faults.AddRange(line.Type == "error" ? [line.Text] : []);
        page.PageError += (_, error) => faults.Add(error);
        await page.EmulateMediaAsync(new() { ReducedMotion = ReducedMotion.Reduce });
        await page.GotoAsync(path == Jump ? await browser.SomeJumpAsync() : "/" + path);
        await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).WaitForAsync();
        Assert.Empty(faults);

        await PageChecks.NoBarrierAsync(page);
        await PageChecks.FitsAPhoneAsync(page);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_first_tab_leads_past_the_navigation()
    {
        var page = await browser.OpenAsync();
        await page.Keyboard.PressAsync("Tab");
        Assert.Equal("Go to the page's content", await page.EvaluateAsync<string>("document.activeElement.textContent"));
        await page.Keyboard.PressAsync("Enter");
        Assert.Equal("main", await page.EvaluateAsync<string>("document.activeElement.id"));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_theme_is_switched_and_stays()
    {
        var page = await browser.OpenAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Light or dark" }).ClickAsync();
        await page.ReloadAsync();
        Assert.Equal("dark", await page.EvaluateAsync<string>("document.documentElement.dataset.theme"));
        await page.Context.CloseAsync();
    }
}

/// <summary>One browser and one service for all tests.</summary>
[CollectionDefinition("board")]
public sealed class BoardTests : ICollectionFixture<Browser>;
