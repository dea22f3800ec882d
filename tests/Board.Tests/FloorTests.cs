using System.Globalization;
using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>The floor in a browser.</summary>
[Collection("board")]
public sealed class FloorTests(Browser browser)
{
    private const float PatienceMs = 60_000;

    private static async Task MovesAsync(IPage page)
    {
        var before = await page.Locator(".strip").First.InnerHTMLAsync();
        await page.WaitForFunctionAsync("before => document.querySelector('.strip').innerHTML !== before", before, new() { Timeout = PatienceMs });
    }

    [Fact]
    public async Task A_jump_appears_by_itself_with_its_number_and_the_strips_move()
    {
        var page = await browser.OpenAsync();
        var number = page.Locator("[data-jump] .is-main .value").First;
        await number.WaitForAsync(new() { Timeout = PatienceMs });
        Assert.InRange(double.Parse(await number.InnerTextAsync(), CultureInfo.InvariantCulture), 0.2, 0.9);
        Assert.Equal(5, await page.Locator("article.card").CountAsync());
        await MovesAsync(page);
        await page.Context.CloseAsync();
    }

    // WCAG 2.2, success criterion 2.2.2 Pause, Stop, Hide.
    [Fact]
    public async Task Pause_by_keyboard_holds_everything_and_goes_on_again()
    {
        var page = await browser.OpenAsync();
        var pause = page.GetByRole(AriaRole.Button, new() { Name = "Pause" });
        await MovesAsync(page); // before its socket is there a page cannot answer
        await pause.FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        var goOn = page.GetByRole(AriaRole.Button, new() { Name = "Go on" });
        await goOn.WaitForAsync(new() { Timeout = PatienceMs });
        var held = await page.Locator(".floor").InnerHTMLAsync();

        // Another window goes on and so proves that there was something to show.
        var other = await browser.OpenAsync();
        await MovesAsync(other);
        Assert.Equal(held, await page.Locator(".floor").InnerHTMLAsync());

        await page.Keyboard.PressAsync("Enter");
        await page.WaitForFunctionAsync("before => document.querySelector('.floor').innerHTML !== before", held, new() { Timeout = PatienceMs });
        await other.Context.CloseAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_live_page_comes_back_by_itself_after_the_service_was_restarted()
    {
        Assert.SkipWhen(Browser.Program is null, "Chromium is not installed");
        var first = await BoardProcess.StartAsync();
        var page = await browser.OpenAsync(address: first.Address);
        await MovesAsync(page);
        await first.StopAsync();
        await page.Locator(".lost.is-shown").WaitForAsync(new() { Timeout = PatienceMs });
        await Assertions.Expect(page.Locator(".lost")).ToContainTextAsync("has stopped");
        Assert.Equal("line-through", await page.Locator(".clock").EvaluateAsync<string>("e => getComputedStyle(e).textDecorationLine")); // nothing looks live any more
        await using var second = await BoardProcess.StartAsync(first.Address.Port);
        await page.Locator(".lost.is-shown").WaitForAsync(new() { State = WaitForSelectorState.Detached, Timeout = PatienceMs });
        await MovesAsync(page);
        await page.Context.CloseAsync();
    }
}
