using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>What holds for every page.</summary>
[Collection("board")]
public sealed class PageTests(Browser browser)
{
    private static readonly string[] Paths = ["", "?screen=wall", "jump", "glossary", "athlete", "athlete/amsel", "load", "warnings", "sensors"];

    public static TheoryData<string> Pages() => [.. Paths];

    // The rules of axe-core 4.x; its words: minor, moderate, serious, critical.
    [Theory]
    [MemberData(nameof(Pages))]
    public async Task Axe_finds_nothing_serious_or_critical_in_light_and_dark(string path)
    {
        foreach (var dark in new[] { false, true })
        {
            var page = await browser.OpenAsync(path, dark: dark);
            await page.EmulateMediaAsync(new() { ReducedMotion = ReducedMotion.Reduce });
            var found = await page.RunAxe();
            var bad = found.Violations.Where(violation => violation.Impact is "serious" or "critical")
                .SelectMany(violation => violation.Nodes.Select(node => $"{violation.Id}: {node.Html}"));
            Assert.Empty(bad);
            await page.Context.CloseAsync();
        }
    }

    // WCAG 2.2, 1.4.10 Reflow asks for 320 px; 2.5.8 Target Size (Minimum) for 24 by 24.
    [Theory]
    [MemberData(nameof(Pages))]
    public async Task Nothing_is_wider_than_a_narrow_phone_and_every_target_is_large_enough(string path)
    {
        var page = await browser.OpenAsync(path, width: 320, height: 700);
        Assert.InRange(await page.EvaluateAsync<int>("document.documentElement.scrollWidth"), 1, 320);
        var small = await page.EvaluateAsync<string[]>(
            """
            [...document.querySelectorAll('a, button, select, input')].filter(e => e.offsetParent && !e.closest('p, td, .skip'))
              .filter(e => { const r = e.getBoundingClientRect(); return r.width > 0 && (r.width < 24 || r.height < 24); }).map(e => e.outerHTML.slice(0, 120))
            """);
        Assert.Empty(small);
        await page.Context.CloseAsync();
    }

    [Theory]
    [MemberData(nameof(Pages))]
    public async Task Nothing_comes_from_elsewhere_and_no_script_fails(string path)
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
        await page.GotoAsync("/" + path, new() { WaitUntil = WaitUntilState.Load });
        await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).WaitForAsync();
        Assert.Empty(faults);
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
