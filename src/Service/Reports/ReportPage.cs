using System.Globalization;
using Saltograph.Board.Text;
using Saltograph.Service.Results;
using ScottPlot;

namespace Saltograph.Service.Reports;

/// <summary>A report being written: one page that needs nothing else, in the look of the board, fit for paper.</summary>
internal sealed class ReportPage
{
    // The board's colours under the names that plots use; A4 with room for a punch.
    private const string Style = """
        :root { --ink:#1b2330; --soft:#525b69; --line:#d6cfc0; --ground:#fffdf8; --card:#f4f1ea; --blue:#1f3f77; --orange:#9c1f5f; --green:#0a6e66; --grid:#e8e2d5; --band:#e3ecf6; --hard:#b3261e; }
        @media (prefers-color-scheme: dark) { :root { --ink:#f0ece3; --soft:#aeb5c0; --line:#3a4453; --ground:#10141b; --card:#191f29; --blue:#9dc0ff; --orange:#f49ac4; --green:#58cdbf; --grid:#2a3340; --band:#1f2d42; --hard:#ff8a7a; } }
        @media print { :root { --ink:#000; --soft:#444; --line:#bbb; --ground:#fff; --card:#fff; --blue:#1f3f77; --orange:#9c1f5f; --green:#0a6e66; --grid:#e2ddd0; --band:#e3ecf6; --hard:#b3261e; } .scroll { overflow:visible; } .person { break-before:page; } }
        @page { size:A4; margin:14mm 12mm 14mm 18mm; }
        body { font-family:'Avenir Next','Segoe UI','Noto Sans','DejaVu Sans',system-ui,sans-serif; max-width:76rem; }
        h1 { letter-spacing:-.02em; border-bottom:4px solid var(--orange); padding-bottom:.35rem; } h3 { font-size:1rem; margin:1.1rem 0 .3rem; } main > h2 { border-top:1px solid var(--line); padding-top:1rem; }
        time, data { font-variant-numeric:tabular-nums; } small { color:var(--soft); } .none { color:var(--soft); } .card b small { font-size:.85rem; font-weight:400; }
        .caution { border-left:6px solid var(--orange); } .decide { border:1px solid var(--line); border-left:6px solid var(--orange); border-radius:.4rem; padding:.5rem .9rem; background:var(--card); max-width:60rem; break-inside:avoid; }
        tr.hard td:first-child::before, .hard-word::before { content:'\25B2\00A0'; color:var(--hard); } tr.hard th:first-child::before { content:'\25B2\00A0'; color:var(--hard); } .hard-word { color:var(--hard); font-weight:600; }
        tbody th { text-align:left; color:var(--ink); } ul.plain { padding-left:1.1rem; margin:.3rem 0; } .three { display:grid; grid-template-columns:repeat(auto-fit,minmax(13rem,1fr)); gap:.3rem 1.6rem; } .three ol { margin:.2rem 0; padding-left:1.3rem; } .three li:first-child > data { font-size:1.25rem; font-weight:650; }
        .two { grid-template-columns:repeat(auto-fit,minmax(min(100%,26rem),1fr)); } dl { margin:.4rem 0; max-width:60rem; } dt { font-weight:650; margin-top:.6rem; } dd { margin:0; } .sign { border-top:1px solid var(--ink); width:18rem; margin-top:3.2rem; padding-top:.2rem; color:var(--soft); font-size:.85rem; }
        .key { display:flex; flex-wrap:wrap; gap:.2rem 1.4rem; color:var(--soft); font-size:.9rem; } .key svg { width:1em; height:1em; vertical-align:-.1em; margin-right:.35em; fill:var(--blue); } .key .is-hard svg { fill:var(--orange); }
        tbody th, tbody td { vertical-align:top; } th time, td time { white-space:nowrap; } td q { white-space:normal; }
        @media print { body { font-size:9.5pt; line-height:1.35; } h1 { font-size:1.6rem; } main > h2 { margin-top:.8rem; padding-top:.5rem; } .two { grid-template-columns:repeat(2,minmax(0,1fr)); } .cards { grid-template-columns:repeat(5,minmax(0,1fr)); } figure, tr, dt { break-inside:avoid; } h2, h3, h2 + p.soft { break-after:avoid; } tbody th { min-width:6.5rem; } .sign { margin-top:2.6rem; width:auto; } }
        @media (max-width:40rem) { body { padding:1rem .8rem 2rem; } }

        """;

    private readonly HtmlPage _page;
    private readonly Words _words;
    private int _figures;

    /// <summary>Begins a report.</summary>
    /// <param name="words">Its texts.</param>
    /// <param name="title">Title.</param>
    /// <param name="made">When it was made, for reading.</param>
    /// <param name="zone">The hall's zone.</param>
    public ReportPage(Words words, string title, string made, string zone)
    {
        (_words, Title) = (words, title);
        _page = new(title, Style, words.Language);
        Raw("<main>").Text("report.made", "soft", $"<span class=\"made\">{HtmlPage.Safe(made)}</span>", HtmlPage.Safe(zone)).Text("report.caution", "caution");
    }

    /// <summary>Title.</summary>
    public string Title { get; }

    /// <summary>Markup of a text, its places filled with markup.</summary>
    public string Markup(string key, params string[] safe) => string.Format(CultureInfo.InvariantCulture, HtmlPage.Safe(_words[key]), [.. safe.Cast<object>()]);

    /// <summary>A paragraph.</summary>
    public ReportPage Text(string key, string kind = "", params string[] safe) =>
        Raw(kind.Length == 0 ? $"<p>{Markup(key, safe)}</p>" : $"<p class=\"{kind}\">{Markup(key, safe)}</p>");

    /// <summary>A heading of a chapter.</summary>
    public ReportPage Heading(string key, params string[] safe) => Raw($"<h2>{Markup(key, safe)}</h2>");

    /// <summary>A smaller heading.</summary>
    public ReportPage Part(string key, params string[] safe) => Raw($"<h3>{Markup(key, safe)}</h3>");

    /// <summary>Cards: a figure and what it is.</summary>
    public ReportPage Cards(params IEnumerable<(string Figure, string Key)> cards) =>
        Raw("<div class=\"cards\">" + string.Concat(cards.Select(card => $"<div class=\"card\"><b>{card.Figure}</b><span>{Markup(card.Key)}</span></div>")) + "</div>");

    /// <summary>A table; headings are keys of texts, one that begins with a tilde holds text. The first cell of a row names it.</summary>
    public ReportPage Table(IReadOnlyList<string> keys, IEnumerable<(string Attributes, IReadOnlyList<string> Cells)> rows)
    {
        var kinds = keys.Select(key => key.StartsWith('~') ? " class=\"text\"" : "").ToArray();
        Raw("<div class=\"scroll\"><table><thead><tr>" + string.Concat(keys.Select((key, i) => $"<th scope=\"col\"{kinds[i]}>{Markup(key.TrimStart('~'))}</th>")) + "</tr></thead><tbody>");
        foreach (var (attributes, cells) in rows)
        {
            Raw($"<tr{attributes}>" + string.Concat(cells.Select((cell, i) => i == 0 ? $"<th scope=\"row\">{cell}</th>" : $"<td{kinds[i]}>{cell}</td>")) + "</tr>");
        }

        return Raw("</tbody></table></div>");
    }

    /// <summary>Plots side by side; what they show is said in words for those who do not see them.</summary>
    public ReportPage Plots(int height, params (Plot Plot, string Says)[] plots)
    {
        var width = plots.Length == 1 ? 1100 : 560;
        return Raw("<div class=\"two\">" + string.Concat(plots.Select(each => $"<figure>{PageDrawing.Svg(each.Plot, ++_figures, each.Says, width, height)}</figure>")) + "</div>");
    }

    /// <summary>One plot over the whole width.</summary>
    public ReportPage Wide(int height, Plot plot, string says) => Raw($"<figure>{PageDrawing.Svg(plot, ++_figures, says, 1100, height)}</figure>");

    /// <summary>Markup as it is.</summary>
    public ReportPage Raw(string markup)
    {
        _page.Raw(markup);
        return this;
    }

    /// <summary>Ends the report.</summary>
    public string Finish() => Raw("</main>").ToString();

    /// <inheritdoc/>
    public override string ToString() => _page.ToString();
}
