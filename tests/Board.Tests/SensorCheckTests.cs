using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>The guided check before training, on the page.</summary>
[Collection("board")]
public sealed class SensorCheckTests(Browser browser)
{
    [Fact]
    public async Task A_check_asks_for_one_movement_after_the_other_and_shows_what_is_heard_of_each_sensor()
    {
        var page = await browser.OpenAsync("/sensors");
        var card = page.GetByRole(AriaRole.Article, new() { Name = "amsel", Exact = true });
        await card.GetByRole(AriaRole.Button, new() { Name = "Check the sensors of amsel" }).ClickAsync();

        // The first movement is asked for; a sensor that sends is heard before anybody has moved.
        await Assertions.Expect(card.Locator("li[aria-current=step]")).ToContainTextAsync("Stand still");
        await Assertions.Expect(card.Locator("td[data-check=heard].is-good")).ToHaveCountAsync(3);

        await card.GetByRole(AriaRole.Button, new() { Name = "Close" }).ClickAsync();
        await Assertions.Expect(card.Locator("ol.guide")).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }
}
