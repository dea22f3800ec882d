using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>Pictures of every page, to be looked at by people: folder <c>screens</c> beside the test program.</summary>
[Collection("board")]
public sealed class ScreenshotTests(Browser browser)
{
    public static readonly string[] Pages = ["floor"];

    [Theory]
    [InlineData("desktop", 1440, 900, false)]
    [InlineData("phone", 360, 780, false)]
    [InlineData("dark", 1440, 900, true)]
    public async Task Every_page_can_be_pictured(string name, int width, int height, bool dark)
    {
        var folder = Directory.CreateDirectory(Path.Combine(AppContext.BaseDirectory, "screens")).FullName;
        var page = await browser.OpenAsync("", width, height, dark);
        await page.Locator("[data-jump]").First.WaitForAsync(new() { Timeout = 60_000 });
        await page.WaitForTimeoutAsync(float.Parse(Environment.GetEnvironmentVariable("SALTOGRAPH_PICTURE_MS") ?? "2000", System.Globalization.CultureInfo.InvariantCulture));
        await page.ScreenshotAsync(new() { Path = Path.Combine(folder, $"floor-{name}.png"), FullPage = true });
        await page.Context.CloseAsync();
    }
}
