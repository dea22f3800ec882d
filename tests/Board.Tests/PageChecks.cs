using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace Saltograph.Board.Tests;

/// <summary>What every page keeps to, in the browser.</summary>
internal static class PageChecks
{
    /// <summary>Serious and critical findings of axe-core (its words: minor, moderate, serious, critical) in light and in dark.</summary>
    public static async Task NoBarrierAsync(IPage page)
    {
        foreach (var scheme in new[] { ColorScheme.Light, ColorScheme.Dark })
        {
            await page.EmulateMediaAsync(new() { ColorScheme = scheme, ReducedMotion = ReducedMotion.Reduce });
            var found = (await page.RunAxe()).Violations.Where(violation => violation.Impact is "serious" or "critical").SelectMany(violation => violation.Nodes.Select(node => $"{scheme} {violation.Id}: {node.Html}"));
            Assert.Empty(found);
        }
    }

    /// <summary>WCAG 2.2, 1.4.10 Reflow: nothing to scroll sideways at 320 px, so neither at 360; 2.5.8 Target Size (Minimum): 24 by 24, a label is part of its target.</summary>
    public static async Task FitsAPhoneAsync(IPage page)
    {
        await page.SetViewportSizeAsync(320, 700);
        Assert.InRange(await page.EvaluateAsync<int>("document.documentElement.scrollWidth"), 1, 320);
        Assert.Empty(await page.EvaluateAsync<string[]>(
            """
            [...document.querySelectorAll('a, button, select, input')].filter(e => e.offsetParent && !e.closest('p, .skip'))
              .filter(e => { const r = (e.closest('label') ?? e).getBoundingClientRect(); return r.width > 0 && (r.width < 24 || r.height < 24); }).map(e => e.outerHTML.slice(0, 120))
            """));
    }
}
