using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>What holds for every page.</summary>
[Collection("board")]
public sealed class PageTests(Browser browser)
{
    private static readonly string[] Paths = ["", "?screen=wall", "jump", "glossary", "athlete", "athlete/amsel", "load", "warnings", "sensors"];

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
        await page.GotoAsync("/" + path);
        await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).WaitForAsync();
        Assert.Empty(faults);

        foreach (var scheme in new[] { ColorScheme.Light, ColorScheme.Dark })
        {
            await page.EmulateMediaAsync(new() { ColorScheme = scheme, ReducedMotion = ReducedMotion.Reduce });
            Assert.Empty(await BarriersAsync(page));
        }

        await page.SetViewportSizeAsync(320, 700);
        Assert.InRange(await page.EvaluateAsync<int>("document.documentElement.scrollWidth"), 1, 320);
        Assert.Empty(await page.EvaluateAsync<string[]>(
            """
            [...document.querySelectorAll('a, button, select, input')].filter(e => e.offsetParent && !e.closest('p, .skip'))
              .filter(e => { const r = e.getBoundingClientRect(); return r.width > 0 && (r.width < 24 || r.height < 24); }).map(e => e.outerHTML.slice(0, 120))
            """));
        await page.Context.CloseAsync();
    }

    private static async Task<IEnumerable<string>> BarriersAsync(IPage page) => (await page.RunAxe()).Violations
        .Where(violation => violation.Impact is "serious" or "critical")
        .SelectMany(violation => violation.Nodes.Select(node => $"{violation.Id}: {node.Html}"));

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
