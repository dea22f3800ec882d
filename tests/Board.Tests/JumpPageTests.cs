using System.Globalization;
using System.Text.Json;
using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>The page of one jump in a browser.</summary>
[Collection("board")]
public sealed class JumpPageTests(Browser browser)
{
    private const float PatienceMs = 60_000;

    private static readonly string[] Instants = ["push-off", "take-off", "top", "landing", "deepest"];

    [Fact]
    public async Task From_the_card_to_the_jump_its_numbers_its_course_and_its_figures()
    {
        var page = await browser.OpenAsync();
        var link = page.Locator("[data-jump] .glyph-link").First;
        await link.WaitForAsync(new() { Timeout = PatienceMs });
        await link.ClickAsync();
        await page.GetByRole(AriaRole.Heading, new() { Name = "The course of the jump" }).WaitForAsync();

        // What stands there is what the HTTP interface answers.
        var id = Uri.UnescapeDataString(page.Url[(page.Url.LastIndexOf('/') + 1)..]);
        var record = await JsonAsync(page, $"/api/v1/jumps/{id}");
        var course = await JsonAsync(page, $"/api/v1/jumps/{id}/curves");
        var shown = await page.Locator(".lead .is-main .value").InnerTextAsync();
        Assert.Equal(record.GetProperty("flightTimeS").GetDouble(), double.Parse(shown, CultureInfo.InvariantCulture), 0.00051);
        var takeoff = page.Locator("tr", new() { Has = page.GetByRole(AriaRole.Rowheader, new() { Name = "take-off", Exact = true }) });
        Assert.Equal("0", await takeoff.Locator("td").First.InnerTextAsync());
        Assert.Equal(
            Math.Round(course.GetProperty("turnRateDps")[60].GetDouble()),
            double.Parse((await takeoff.Locator("td").Nth(2).InnerTextAsync()).Replace('\u2212', '-'), CultureInfo.InvariantCulture));

        // Without eyes: the drawing says the same in sentences, each figure too.
        var drawing = await page.Locator("svg.course").GetAttributeAsync("aria-label");
        Assert.Contains("Turn rate", drawing, StringComparison.Ordinal);
        Assert.Contains("Largest force after contact", drawing, StringComparison.Ordinal);
        foreach (var figure in await page.Locator(".pose svg").AllAsync())
        {
            var spoken = await figure.GetAttributeAsync("aria-label");
            Assert.Contains("left shank", spoken, StringComparison.Ordinal);
            Assert.StartsWith(spoken!.Split('.')[0], Instants.Single(instant => spoken.StartsWith(instant, StringComparison.Ordinal)), StringComparison.Ordinal);
        }

        // Every number says where it comes from and how far to trust it; every empty one says why.
        Assert.Equal(0, await page.Locator(".measures tbody th:not(:has(.source))").CountAsync());
        Assert.Equal(await page.Locator(".measures tr.is-none").CountAsync(), await page.Locator(".measures tr.is-none .why").CountAsync());
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_courses_of_two_jumps_lie_over_each_other_or_side_by_side()
    {
        var page = await browser.OpenAsync();
        await page.WaitForFunctionAsync("() => document.querySelectorAll('[data-jump] .glyph-link').length > 1", null, new() { Timeout = PatienceMs });
        var ids = new List<string>();
        foreach (var link in (await page.Locator("[data-jump] .glyph-link").AllAsync()).Take(2))
        {
            var address = (await link.GetAttributeAsync("href"))!;
            ids.Add(address[(address.LastIndexOf('/') + 1)..]);
        }

        await page.GotoAsync(new Uri(new Uri(page.Url), $"compare?aJump={ids[0]}&bJump={ids[1]}").ToString());
        var drawings = page.Locator(".overlays figure");
        await drawings.First.WaitForAsync(new() { Timeout = PatienceMs });
        var overlaid = await drawings.CountAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Side by side" }).FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await page.GetByRole(AriaRole.Link, new() { Name = "Overlaid" }).WaitForAsync(new() { Timeout = PatienceMs });
        Assert.Equal(2 * overlaid, await drawings.CountAsync());
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task On_a_narrow_phone_only_the_drawing_and_the_table_scroll_sideways()
    {
        var page = await browser.OpenAsync(width: 360, height: 780, dark: true);
        var link = page.Locator("[data-jump] .glyph-link").First;
        await link.WaitForAsync(new() { Timeout = PatienceMs });
        await page.GotoAsync((await link.GetAttributeAsync("href"))!);
        await page.GetByRole(AriaRole.Heading, new() { Name = "The course of the jump" }).WaitForAsync();
        Assert.InRange(await page.EvaluateAsync<int>("document.documentElement.scrollWidth"), 1, 360);
        await page.Context.CloseAsync();
    }

    private static async Task<JsonElement> JsonAsync(IPage page, string path) =>
        JsonElement.Parse(await (await page.APIRequest.GetAsync(new Uri(new Uri(page.Url), path).ToString())).TextAsync());
}
