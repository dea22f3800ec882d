using System.Diagnostics;
using System.Globalization;

namespace Saltograph.Board.Tests;

/// <summary>From the contact on the floor to the number on the screen, as the browser sees it. Figures, no limits: run <c>bash tests/run.sh long</c>.</summary>
[Collection("board")]
public sealed class ScreenDelay(Browser browser, ITestOutputHelper output)
{
    private const int MeasuredS = 60;

    // Each card tells the contact that it shows (us since 1970); service, simulated sensors and browser share one clock.
    private const string Watch = """
        () => {
          window.seen = { landing: [], jump: [] };
          const known = new Set([...document.querySelectorAll('[data-landing]')].map(e => (e.dataset.jump ? 'jump' : 'landing') + e.dataset.landing));
          new MutationObserver(() => {
            for (const e of document.querySelectorAll('[data-landing]')) {
              const kind = e.dataset.jump ? 'jump' : 'landing', key = kind + e.dataset.landing;
              if (!known.has(key)) { known.add(key); requestAnimationFrame(() => window.seen[kind].push(Date.now() - e.dataset.landing / 1000)); }
            }
          }).observe(document.querySelector('.floor'), { subtree: true, childList: true, attributes: true, attributeFilter: ['data-landing'] });
          window.frames_ = 0; (function count() { window.frames_++; requestAnimationFrame(count); })();
        }
        """;

    [Fact]
    public async Task From_contact_to_screen_with_five_screens()
    {
        Assert.SkipUnless(Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1", "a figure of the long run");
        var pages = await Task.WhenAll(Enumerable.Range(0, 5).Select(_ => browser.OpenAsync()));
        await pages[0].WaitForTimeoutAsync(5000);
        await pages[0].EvaluateAsync(Watch);
        using var service = Process.GetProcessById(browser.Board.Id);
        var (cpu, clock) = (service.TotalProcessorTime, Stopwatch.StartNew());
        await pages[0].WaitForTimeoutAsync(MeasuredS * 1000);
        service.Refresh();
        var share = (service.TotalProcessorTime - cpu) / clock.Elapsed;
        foreach (var kind in new[] { "landing", "jump" })
        {
            var delays = (await pages[0].EvaluateAsync<double[]>($"() => window.seen.{kind}")).Order().ToArray();
            Assert.NotEmpty(delays);
            Tell($"{kind}: n {delays.Length}, median {delays[delays.Length / 2]:F0} ms, p95 {delays[(int)(0.95 * (delays.Length - 1))]:F0} ms, worst {delays[^1]:F0} ms after first contact");
        }

        Tell($"service with 5 athletes and 5 screens: {100 * share:F0} % of one core, {service.WorkingSet64 / 1048576} MiB; frames {await pages[0].EvaluateAsync<int>("() => window.frames_") / MeasuredS} per second");
        foreach (var page in pages)
        {
            await page.Context.CloseAsync();
        }
    }

    private void Tell(FormattableString line)
    {
        output.WriteLine(line.ToString(CultureInfo.InvariantCulture));
        File.AppendAllLines(Path.Combine(AppContext.BaseDirectory, "screen-delay.txt"), [line.ToString(CultureInfo.InvariantCulture)]);
    }
}
