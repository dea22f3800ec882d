using System.Net;
using System.Text;

namespace Saltograph.Service.Results;

/// <summary>One HTML page that needs nothing from outside: own style, light and dark, fit to print.</summary>
/// <param name="title">Title and first heading.</param>
/// <param name="moreStyle">Style rules after the common ones.</param>
/// <param name="language">Language of its texts.</param>
internal sealed class HtmlPage(string title, string moreStyle = "", string language = "en")
{
    private const string Style = """
        :root { color-scheme: light dark; --ink:#1c2430; --soft:#5b6675; --line:#d5dbe3; --ground:#ffffff; --card:#f6f8fa; --blue:#1f6fb2; --orange:#c2560a; --green:#2b7d4f; --grid:#e4e8ee; --band:#dbe8f4; }
        @media (prefers-color-scheme: dark) { :root { --ink:#e6eaf0; --soft:#a2adbb; --line:#39424f; --ground:#14181e; --card:#1d232b; --blue:#6db3ee; --orange:#f39a55; --green:#72c796; --grid:#2c343f; --band:#24384b; } }
        @media print { :root { color-scheme: light; --ink:#000; --soft:#444; --line:#bbb; --ground:#fff; --card:#fff; --blue:#1f6fb2; --orange:#c2560a; --green:#2b7d4f; --grid:#e4e8ee; --band:#dbe8f4; } body { max-width:none; font-size:9.5pt; padding:0 !important; } figure, tr, .card { break-inside:avoid; } h2 { break-after:avoid; } }
        * { box-sizing:border-box; }
        body { margin:0 auto; max-width:84rem; padding:1.5rem 1.5rem 3rem; background:var(--ground); color:var(--ink); font:15px/1.5 system-ui, "Segoe UI", "DejaVu Sans", sans-serif; }
        h1 { font-size:1.7rem; margin:.2rem 0 .4rem; } h2 { font-size:1.2rem; margin:2rem 0 .5rem; } p { margin:.4rem 0; max-width:60rem; }
        .soft { color:var(--soft); } .caution { border-left:4px solid var(--orange); padding:.5rem .9rem; background:var(--card); max-width:60rem; }
        .scroll { overflow-x:auto; } table { border-collapse:collapse; font-size:.86rem; margin:.6rem 0; font-variant-numeric:tabular-nums; }
        th, td { padding:.24rem .5rem; border-bottom:1px solid var(--line); text-align:right; white-space:nowrap; } th:first-child, td:first-child, td.text, th.text { text-align:left; } td svg { display:block; } th { white-space:normal; color:var(--soft); font-weight:600; vertical-align:bottom; }
        figure { margin:.4rem 0; } figcaption { color:var(--soft); font-size:.9rem; max-width:60rem; } figure svg { width:100%; height:auto; display:block; } .two { display:grid; grid-template-columns:repeat(auto-fit,minmax(30rem,1fr)); gap:.5rem 1.5rem; } @media (max-width:36rem) { .two { grid-template-columns:1fr; } }
        .cards { display:grid; grid-template-columns:repeat(auto-fit,minmax(11rem,1fr)); gap:.7rem; margin:1rem 0; } .card { background:var(--card); border:1px solid var(--line); border-radius:.5rem; padding:.6rem .9rem; } .card b { display:block; font-size:1.35rem; } .card span { color:var(--soft); font-size:.88rem; }
        """;

    private readonly StringBuilder _body = new();

    /// <summary>Text made safe.</summary>
    public static string Safe(string text) => WebUtility.HtmlEncode(text);

    /// <summary>A heading.</summary>
    public HtmlPage Heading(string text) => Raw($"<h2>{Safe(text)}</h2>");

    /// <summary>A paragraph, of a class of the style or none.</summary>
    public HtmlPage Paragraph(string text, string? kind = null) => Raw(kind is null ? $"<p>{Safe(text)}</p>" : $"<p class=\"{kind}\">{Safe(text)}</p>");

    /// <summary>A table; a heading that begins with a tilde holds text, the others figures.</summary>
    public HtmlPage Table(IReadOnlyList<string> headings, IEnumerable<IReadOnlyList<string>> safeRows)
    {
        var kinds = headings.Select(heading => heading.StartsWith('~') ? " class=\"text\"" : "").ToArray();
        Raw("<div class=\"scroll\"><table><thead><tr>" + string.Concat(headings.Select((heading, i) => $"<th{kinds[i]}>{Safe(heading.TrimStart('~'))}</th>")) + "</tr></thead><tbody>");
        foreach (var row in safeRows)
        {
            Raw("<tr>" + string.Concat(row.Select((cell, i) => $"<td{kinds[i]}>{cell}</td>")) + "</tr>");
        }

        return Raw("</tbody></table></div>");
    }

    /// <summary>Markup as it is.</summary>
    public HtmlPage Raw(string markup)
    {
        _body.Append(markup).Append('\n');
        return this;
    }

    /// <inheritdoc/>
    public override string ToString() =>
        $"<!DOCTYPE html>\n<html lang=\"{Safe(language)}\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{Safe(title)}</title>\n<style>\n{Style}\n{moreStyle}</style>\n</head>\n<body>\n<h1>{Safe(title)}</h1>\n{_body}</body>\n</html>\n";
}
