using System.Globalization;
using System.Text.Json;
using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>What staff do with a warning, on the page, with the keyboard alone.</summary>
[Collection("board")]
public sealed class WarningAnswerTests(Browser browser)
{
    private const float PatienceMs = 60_000;

    [Fact]
    public async Task A_warning_is_acknowledged_with_a_reason_that_stays_in_its_history()
    {
        var (page, card) = await WarnedAsync("distel");
        var id = await card.GetAttributeAsync("data-warning");
        await PressAsync(page, card.GetByRole(AriaRole.Button, new() { Name = "Acknowledge" }));

        // The form has the keyboard; without a reason nothing is sent.
        await Assertions.Expect(card.Locator("[name=who]")).ToBeFocusedAsync(new() { Timeout = PatienceMs });
        await page.Keyboard.TypeAsync("coach-2");
        await page.Keyboard.PressAsync("Enter");
        Assert.True(await card.Locator("[name=why]").EvaluateAsync<bool>("field => field.validity.valueMissing && !field.closest('form').checkValidity()"));

        // The browser leads to what is missing.
        await Assertions.Expect(card.Locator("[name=why]")).ToBeFocusedAsync(new() { Timeout = PatienceMs });
        await page.Keyboard.TypeAsync("Spoke with her, two more and then floor work");
        await page.Keyboard.PressAsync("Enter");

        await Assertions.Expect(card).ToContainTextAsync("holds, acknowledged", new() { Timeout = PatienceMs });
        await Assertions.Expect(card.GetByRole(AriaRole.Button, new() { Name = "Acknowledge" })).ToHaveCountAsync(0);
        await Assertions.Expect(page.Locator("p.speech[role=status]").First).ToHaveTextAsync("Acknowledged.");
        Assert.Equal("open-h", await page.EvaluateAsync<string>("document.activeElement.id"));
        var change = (await HistoryAsync(page, id!)).Last();
        Assert.Equal(("acknowledged", "coach-2", "Spoke with her, two more and then floor work"), (Text(change, "state"), Text(change, "who"), Text(change, "why")));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_warning_is_silenced_for_a_time_and_the_silence_is_ended_before()
    {
        var (page, card) = await WarnedAsync("birke");
        var id = await card.GetAttributeAsync("data-warning");
        await PressAsync(page, card.GetByRole(AriaRole.Button, new() { Name = "Silence", Exact = true }));
        await AnswerAsync(page, "medic-1", "Sensor on a child who only walks", "25");
        var silenced = page.Locator($"[data-shelved='{id}']");
        await silenced.WaitForAsync(new() { Timeout = PatienceMs });
        await Assertions.Expect(silenced).ToContainTextAsync("comes back by itself");
        await Assertions.Expect(card).ToHaveCountAsync(0);
        var shelved = await OfAsync(page, id!);
        var leftMinutes = (DateTimeOffset.Parse(Text(shelved, "shelvedUntil")!, CultureInfo.InvariantCulture) - DateTimeOffset.Parse(Text(shelved, "changed")!, CultureInfo.InvariantCulture)).TotalMinutes;
        Assert.InRange(leftMinutes, 24, 25.1); // judged some seconds behind the clock

        await PressAsync(page, silenced.GetByRole(AriaRole.Button, new() { Name = "End the silence" }));
        await AnswerAsync(page, null, "Back on the floor", null); // who answers again need not say who
        await card.WaitForAsync(new() { Timeout = PatienceMs });
        var change = (await HistoryAsync(page, id!)).Last();
        Assert.Equal(("medic-1", "Back on the floor"), (Text(change, "who"), Text(change, "why")));
        await page.Context.CloseAsync();
    }

    // One jump planned: the simulated gymnast passes it within a minute.
    private async Task<(IPage Page, ILocator Card)> WarnedAsync(string athlete)
    {
        var page = await browser.OpenAsync("warnings");
        var day = DateTimeOffset.UtcNow.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        var answer = await page.APIRequest.PutAsync(
            new Uri(browser.Board.Address, $"api/v1/athletes/{athlete}/plans/{day}/plan").ToString(),
            new() { DataObject = new { limits = new { jumps = 1 }, enteredBy = "coach-1" } });
        Assert.True(answer.Ok, await answer.TextAsync());
        var card = page.Locator($"[data-warning^='plan.{athlete}.']");
        await card.WaitForAsync(new() { Timeout = 2 * PatienceMs });
        return (page, card);
    }

    private static async Task PressAsync(IPage page, ILocator button)
    {
        await button.FocusAsync();
        await page.Keyboard.PressAsync("Enter");
    }

    private static async Task AnswerAsync(IPage page, string? who, string why, string? minutes)
    {
        await Assertions.Expect(page.Locator(who is null ? "[name=why]" : "[name=who]")).ToBeFocusedAsync(new() { Timeout = PatienceMs });
        if (who is not null)
        {
            await page.Keyboard.TypeAsync(who);
            await page.Keyboard.PressAsync("Tab");
        }

        await page.Keyboard.TypeAsync(why);
        if (minutes is not null)
        {
            await page.Keyboard.PressAsync("Tab");
            await page.Keyboard.PressAsync("Control+a");
            await page.Keyboard.TypeAsync(minutes);
        }

        await page.Keyboard.PressAsync("Enter");
    }

    private static async Task<JsonElement[]> HistoryAsync(IPage page, string id) => [.. (await AllOfAsync(page, id)).GetProperty("history").EnumerateArray()];

    private static async Task<JsonElement> OfAsync(IPage page, string id) => (await AllOfAsync(page, id)).GetProperty("warning");

    private static async Task<JsonElement> AllOfAsync(IPage page, string id) =>
        JsonElement.Parse(await (await page.APIRequest.GetAsync(new Uri(new Uri(page.Url), "/api/v1/warnings/" + Uri.EscapeDataString(id)).ToString())).TextAsync());

    private static string? Text(JsonElement of, string key) => of.GetProperty(key).GetString();
}
