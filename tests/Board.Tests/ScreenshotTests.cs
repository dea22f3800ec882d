using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>Pictures of every page, to be looked at by people: folder <c>screens</c> beside the test program.</summary>
[Collection("board")]
public sealed class ScreenshotTests(Browser browser)
{
    private static readonly (string Name, string Path)[] Pages = [("floor", ""), ("jumps", "jump"), ("athlete", "athlete/distel"), ("load", "load"), ("warnings", "warnings"), ("sensors", "sensors"), ("glossary", "glossary")];

    [Theory]
    [InlineData("desktop", 1440, 900, false)]
    [InlineData("phone", 360, 780, false)]
    [InlineData("dark", 1440, 900, true)]
    public async Task Every_page_can_be_pictured(string name, int width, int height, bool dark)
    {
        var folder = Directory.CreateDirectory(Path.Combine(AppContext.BaseDirectory, "screens")).FullName;
        var page = await browser.OpenAsync("", width, height, dark);
        await page.Locator("[data-jump]").First.WaitForAsync(new() { Timeout = 60_000 });
        var jump = await page.Locator("[data-jump] .glyph-link").First.GetAttributeAsync("href");
        foreach (var (picture, path) in Pages.Append(("jump", jump!)))
        {
            await page.GotoAsync(path.Length == 0 ? "/" : path);
            await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).WaitForAsync();
            var file = Path.Combine(folder, $"{picture}-{name}.png");
            await page.ScreenshotAsync(new() { Path = file, FullPage = true });
            Assert.True(new FileInfo(file).Length > 10_000, $"{file} is empty");
        }

        await page.Context.CloseAsync();
    }
}
