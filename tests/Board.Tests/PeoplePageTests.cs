using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>The first hour of an administrator: from the link of the first start to a coach who sees her gymnast.</summary>
[Collection("board")]
public sealed class PeoplePageTests(Browser browser)
{
    private const string Password = "ribbons and clubs in June";
    private static readonly string Screens = Path.Combine(AppContext.BaseDirectory, "screens");

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task An_administrator_begins_with_the_link_of_the_first_start_and_a_coach_begins_with_hers()
    {
        Assert.SkipWhen(Browser.Program is null, "Chromium is not installed");
        var folder = Directory.CreateTempSubdirectory("saltograph-people-").FullName;
        await File.WriteAllTextAsync(Path.Combine(folder, "service.json"), """{"http":{"port":0},"broker":{"embeddedBroker":{"port":0}}}""", Stop);
        await File.WriteAllTextAsync(Path.Combine(folder, "thresholds.json"), "{}", Stop);
        await File.WriteAllTextAsync(Path.Combine(folder, "roster.json"), """{"sensors":[{"sensor":"amber-trunk","athlete":"amber","site":"trunk"},{"sensor":"beryl-trunk","athlete":"beryl","site":"trunk"}]}""", Stop);
        await using (var board = await BoardProcess.ServeAsync(folder))
        {
            var link = new Uri((await File.ReadAllTextAsync(Path.Combine(folder, "data", "set-up-link.txt"), Stop)).Trim());
            var page = await browser.OpenAsync(link.PathAndQuery + link.Fragment, address: board.Address);
            await SetPasswordAsync(page);
            await SignInAsync(page, "administrator");
            await page.GetByRole(AriaRole.Heading, new() { Level = 1, Name = "People" }).WaitForAsync();

            await page.Locator("[aria-labelledby=add-h] [name=person]").FillAsync("coach-1");
            await page.Locator("[aria-labelledby=add-h] [value=coach]").CheckAsync();
            await page.GetByRole(AriaRole.Button, new() { Name = "Add, and make a link" }).ClickAsync();
            var once = new Uri((await page.Locator("[data-once]").TextContentAsync())!);
            var coach = page.Locator("[data-person=coach-1]");
            await coach.GetByRole(AriaRole.Button, new() { Name = "Assign" }).ClickAsync();
            await Assertions.Expect(coach.GetByRole(AriaRole.Listitem)).ToContainTextAsync("amber");
            await coach.Locator("summary").ClickAsync();
            await PictureAsync(page, "people", 1280);
            await PageChecks.NoBarrierAsync(page);
            await PageChecks.FitsAPhoneAsync(page);
            await PictureAsync(page, "people-phone", 360);
            await page.Context.CloseAsync();

            var her = await browser.OpenAsync(once.PathAndQuery + once.Fragment, address: board.Address);
            await SetPasswordAsync(her);
            await SignInAsync(her, "coach-1");
            await her.GetByRole(AriaRole.Heading, new() { Level = 1 }).WaitForAsync();
            await Assertions.Expect(her.Locator("[data-athlete=amber]")).ToBeVisibleAsync();
            await Assertions.Expect(her.Locator("[data-athlete=beryl]")).ToHaveCountAsync(0);
            await Assertions.Expect(her.GetByRole(AriaRole.Link, new() { Name = "People" })).ToHaveCountAsync(0);
            await her.Context.CloseAsync();
        }

        Directory.Delete(folder, recursive: true);
    }

    private static async Task SetPasswordAsync(IPage page)
    {
        await page.Locator("[name=password]").FillAsync(Password);
        await page.Locator("[name=again]").FillAsync(Password);
        await page.Locator("main button[type=submit]").ClickAsync();
    }

    private static async Task SignInAsync(IPage page, string name)
    {
        await page.Locator("[name=name]").FillAsync(name);
        await page.Locator("[name=password]").FillAsync(Password);
        await page.Locator("main button[type=submit]").ClickAsync();
    }

    private static async Task PictureAsync(IPage page, string name, int width)
    {
        Directory.CreateDirectory(Screens);
        await page.SetViewportSizeAsync(width, 900);
        await page.ScreenshotAsync(new() { Path = Path.Combine(Screens, $"{name}.png"), FullPage = true });
    }
}
