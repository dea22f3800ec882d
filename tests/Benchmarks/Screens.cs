using System.Diagnostics;
using System.Globalization;
using Microsoft.Playwright;

namespace Saltograph.Benchmarks;

/// <summary>Several screens that look at the floor, in Debian's Chromium.</summary>
internal sealed class Screens : IAsyncDisposable
{
    private static readonly string[] Places = ["/usr/bin/chromium", "/usr/bin/chromium-browser"];

    private static readonly string[] Switches =
        ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

    // Each card tells the contact that it shows (us since 1970); service, simulated sensors and browser share one clock. After a frame's callbacks comes
    // its painting: a task that the callback posts runs behind it.
    private const string Watch = """
        () => {
          window.seen = { landing: [], jump: [] }; window.frames_ = [];
          const known = new Set(), kindOf = e => e.dataset.jump ? 'jump' : 'landing';
          for (const e of document.querySelectorAll('[data-landing]')) known.add(kindOf(e) + e.dataset.landing);
          new MutationObserver(() => {
            for (const e of document.querySelectorAll('[data-landing]')) {
              const kind = kindOf(e), key = kind + e.dataset.landing, contact = e.dataset.landing / 1000;
              if (known.has(key)) continue;
              known.add(key);
              requestAnimationFrame(() => setTimeout(() => window.seen[kind].push(Date.now() - contact), 0));
            }
          }).observe(document.body, { subtree: true, childList: true, attributes: true, attributeFilter: ['data-landing'] });
          let last = performance.now();
          requestAnimationFrame(function frame(now) {
            window.frames_.push(now - last); last = now;
            if (window.frames_.length > 20000) window.frames_.splice(0, 10000);
            requestAnimationFrame(frame);
          });
        }
        """;

    private readonly IPlaywright _playwright;
    private readonly IBrowser _browser;
    private readonly List<(IPage Page, ICDPSession Tools)> _pages = [];

    private Screens(IPlaywright playwright, IBrowser browser) => (_playwright, _browser) = (playwright, browser);

    /// <summary>How many are open.</summary>
    public int Count => _pages.Count;

    /// <summary>Starts the browser; null when it is not installed.</summary>
    public static async Task<Screens?> StartAsync()
    {
        if (Array.Find(Places, File.Exists) is not { } program)
        {
            return null;
        }

        var playwright = await Playwright.CreateAsync();
        return new(playwright, await playwright.Chromium.LaunchAsync(new() { ExecutablePath = program, Args = Switches }));
    }

    /// <summary>Opens one more and watches it.</summary>
    public async Task OpenAsync(Uri address)
    {
        var context = await _browser.NewContextAsync(new() { ViewportSize = new() { Width = 1440, Height = 900 } });
        var page = await context.NewPageAsync();
        await page.GotoAsync(address.ToString());
        await page.WaitForFunctionAsync("() => document.querySelectorAll('.strip .vertical[d]:not([d=\"\"])').length > 0");
        await page.EvaluateAsync(Watch);
        var tools = await context.NewCDPSessionAsync(page);
        await tools.SendAsync("Performance.enable");
        _pages.Add((page, tools));
    }

    /// <summary>Delays from contact to painted, ms, over all screens.</summary>
    public async Task<double[]> DelaysMsAsync(string kind) =>
        [.. (await Task.WhenAll(_pages.Select(screen => screen.Page.EvaluateAsync<double[]>($"() => window.seen.{kind}")))).SelectMany(each => each).Order()];

    /// <summary>How many were seen on the first screen.</summary>
    public async Task<int> SeenAsync(string kind) => await _pages[0].Page.EvaluateAsync<int>($"() => window.seen.{kind}.length");

    /// <summary>Times between frames since the last call, ms, over all screens.</summary>
    public async Task<double[]> FramesMsAsync() =>
        [.. (await Task.WhenAll(_pages.Select(screen => screen.Page.EvaluateAsync<double[]>("() => window.frames_.splice(0)")))).SelectMany(each => each).Order()];

    /// <summary>Memory of the script's heap, MiB, mean of the screens, and nodes of the page likewise; after a collection.</summary>
    public async Task<(double HeapMiB, double Nodes)> PageAsync()
    {
        var (heap, nodes) = (0.0, 0.0);
        foreach (var (_, tools) in _pages)
        {
            await tools.SendAsync("HeapProfiler.collectGarbage");
            var metrics = (await tools.SendAsync("Performance.getMetrics"))!.Value.GetProperty("metrics").EnumerateArray()
                .ToDictionary(metric => metric.GetProperty("name").GetString()!, metric => metric.GetProperty("value").GetDouble(), StringComparer.Ordinal);
            (heap, nodes) = (heap + (metrics["JSHeapUsedSize"] / 1048576), nodes + metrics["Nodes"]);
        }

        return (heap / _pages.Count, nodes / _pages.Count);
    }

    /// <summary>
    /// Puts the browser behind the service and the sensors. Screens have machines of their own; here five of them ask for more than the two cores, and a service that waits for the processor
    /// keeps what arrives meanwhile: its memory would be that of a starved service.
    /// </summary>
    public static void StepBack()
    {
        using var renice = Process.Start(new ProcessStartInfo("renice", ["-n", "15", .. OfThisProgram().SelectMany(Threads)]) { RedirectStandardOutput = true, RedirectStandardError = true, UseShellExecute = false })!;
        renice.StandardError.ReadToEnd(); // a thread may have ended meanwhile
        renice.WaitForExit();

        // Priority is a thread's own: man 7 sched.
        static IEnumerable<string> Threads(int id) => Directory.Exists($"/proc/{id}/task") ? Directory.EnumerateDirectories($"/proc/{id}/task").Select(folder => Path.GetFileName(folder)) : [];
    }

    /// <summary>Processor time and proportional memory of all processes of the browser that this program started.</summary>
    public static (double CpuS, double MiB) OfBrowser()
    {
        var (cpuS, miB) = (0.0, 0.0);
        foreach (var id in OfThisProgram())
        {
            if (Stat(id) is { } stat)
            {
                cpuS += (double.Parse(stat[11], CultureInfo.InvariantCulture) + double.Parse(stat[12], CultureInfo.InvariantCulture)) / 100; // ticks of 10 ms: man 5 proc
                var pss = Array.Find(Text($"/proc/{id}/smaps_rollup").Split('\n'), line => line.StartsWith("Pss:", StringComparison.Ordinal));
                miB += pss is null ? 0 : double.Parse(pss.Split(' ', StringSplitOptions.RemoveEmptyEntries)[1], CultureInfo.InvariantCulture) / 1024;
            }
        }

        return (cpuS, miB);
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _browser.DisposeAsync();
        _playwright.Dispose();
    }

    private static IEnumerable<int> OfThisProgram()
    {
        var parents = new Dictionary<int, int>();
        foreach (var folder in Directory.EnumerateDirectories("/proc"))
        {
            if (int.TryParse(Path.GetFileName(folder), NumberStyles.None, CultureInfo.InvariantCulture, out var id) && Stat(id) is { } stat)
            {
                parents[id] = int.Parse(stat[1], CultureInfo.InvariantCulture);
            }
        }

        return parents.Keys.Where(id => IsBelow(id, parents) && File.Exists($"/proc/{id}/comm") && Text($"/proc/{id}/comm").StartsWith("chromium", StringComparison.Ordinal));
    }

    private static bool IsBelow(int id, Dictionary<int, int> parents)
    {
        for (var at = id; at > 1; at = parents.GetValueOrDefault(at))
        {
            if (at == Environment.ProcessId)
            {
                return true;
            }
        }

        return false;
    }

    // Fields behind the name in parentheses, which may hold anything.
    private static string[]? Stat(int id) => Text($"/proc/{id}/stat") is { Length: > 0 } text ? text[(text.LastIndexOf(')') + 2)..].Split(' ') : null;

    private static string Text(string file)
    {
        try
        {
            return File.ReadAllText(file);
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            return "";
        }
    }
}
