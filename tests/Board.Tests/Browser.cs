using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>Debian's Chromium, one for all tests, and the service that they look at.</summary>
public sealed class Browser : IAsyncLifetime
{
    private static readonly string[] Places = ["/usr/bin/chromium", "/usr/bin/chromium-browser"];

    private static readonly string[] Switches =
        ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

    private IPlaywright? _playwright;
    private IBrowser? _browser;

    internal BoardProcess Board { get; private set; } = null!;

    /// <summary>Where Chromium is; null when it is not installed.</summary>
    public static string? Program => Array.Find(Places, File.Exists);

    public async ValueTask InitializeAsync()
    {
        if (Program is not { } program)
        {
            return; // every test skips
        }

        Board = await BoardProcess.StartAsync();
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new() { ExecutablePath = program, Args = Switches });
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
            _playwright!.Dispose();
            await Board.DisposeAsync();
        }
    }

    /// <summary>A new window.</summary>
    public async Task<IPage> OpenAsync(string path = "", int width = 1280, int height = 900, bool dark = false, Uri? address = null)
    {
        Assert.SkipWhen(_browser is null, "Chromium is not installed");
        var context = await _browser!.NewContextAsync(new()
        {
            BaseURL = (address ?? Board.Address).ToString(),
            ViewportSize = new() { Width = width, Height = height },
            ColorScheme = dark ? ColorScheme.Dark : ColorScheme.Light,
        });
        var page = await context.NewPageAsync();
        await page.GotoAsync(path);
        return page;
    }

    /// <summary>Path of a jump that was measured, waited for on the floor.</summary>
    public async Task<string> SomeJumpAsync()
    {
        var page = await OpenAsync();
        var link = page.Locator("[data-jump] .glyph-link").First;
        await link.WaitForAsync(new() { Timeout = 60_000 });
        var path = await link.GetAttributeAsync("href");
        await page.Context.CloseAsync();
        return path!;
    }
}
