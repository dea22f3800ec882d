using System.Globalization;
using Saltograph.Comparison;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Results.Comparing;

/// <summary>A comparison as a page.</summary>
internal static class ComparisonPage
{
    // Drawn to three detectable changes on each side; what is further out stands at the edge.
    private const double EdgeChanges = 3;
    private const double HalfWidth = 80;

    /// <summary>The text of the page.</summary>
    public static string Text(ComparedFile a, ComparedFile b, JumpComparison comparison, ComparedCurves curves)
    {
        var page = new HtmlPage("Two groups of jumps compared")
            .Paragraph(string.Create(CultureInfo.InvariantCulture, $"A: {Path.GetFileName(a.Path)}, jumps {comparison.CountA}, gymnasts {comparison.AthletesA}. B: {Path.GetFileName(b.Path)}, jumps {comparison.CountB}, gymnasts {comparison.AthletesB}. Differences are B minus A."))
            .Paragraph(Cautions.Line, "caution")
            .Heading("What differs most");
        if (comparison.MostDifferent.Count == 0)
        {
            page.Paragraph("No change can be told.");
        }
        else
        {
            page.Raw("<ul>" + string.Concat(comparison.MostDifferent.Select(each => $"<li>{HtmlPage.Safe(each.Sentence())}</li>")) + "</ul>");
        }

        page
            .Heading("Measure by measure")
            .Table(
                ["~measure", "~in detectable changes", "~verdict", "B - A", "std. uncertainty", "95 % interval", "detectable (of two jumps)", "g", "A mean (n)", "B mean (n)", "medians"],
                comparison.Measures.Where(each => each.Verdict != Verdict.NotMeasured).Select(Row))
            .Paragraph("Grey band: the detectable change. Dot: the difference. Line: its 95 per cent interval.", "soft")
            .Paragraph("Not measured on both sides: " + string.Join(", ", comparison.Measures.Where(each => each.Verdict == Verdict.NotMeasured).Select(each => each.Measure.Name).DefaultIfEmpty("none")) + ". An asterisk: with values at a sensor's rail, at least so large.", "soft")
            .Paragraph(ComparisonWords.Basis, "soft")
            .Paragraph(ComparisonWords.ByChance + (comparison.MixesAthletes ? " " + ComparisonWords.Mixed : ""), "soft");
        Curves(page, curves);
        return page.ToString();
    }

    private static void Curves(HtmlPage page, ComparedCurves curves)
    {
        if (curves.Found.Count == 0)
        {
            return;
        }

        page.Heading("Curves")
            .Paragraph("Means with bands of one standard deviation: A blue, B orange. Grey: beyond the detectable change. " + ComparedCurves.ByNode)
            .Raw("<ul>" + string.Concat(curves.Sentences().DefaultIfEmpty("No stretch differs beyond the detectable change.").Select(sentence => $"<li>{HtmlPage.Safe(sentence)}</li>")) + "</ul>")
            .Raw("<div class=\"two\">" + string.Concat(curves.Found.Select((each, i) =>
                $"<figure>{PageDrawing.Svg(CurvePlot.Of(each.Quantity, each.Comparison), i + 1, $"{each.Quantity.Name} of both groups")}</figure>")) + "</div>");
    }

    private static string[] Row(MeasureComparison compared)
    {
        string Plain(double? value) => value?.ToString("F" + compared.Measure.Decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture) ?? "-";
        string[] cells =
        [
            compared.Verdict.ShortText(), compared.Difference(), compared.Uncertainty(), compared.Interval(),
            $"{compared.Change()} ({Plain(compared.DetectableChangeOfTwoJumps)})", compared.Effect(), compared.Group(compared.A), compared.Group(compared.B),
            $"{Plain(compared.A?.Median)}, {Plain(compared.B?.Median)}",
        ];
        var name = $"{compared.Measure.Name} {ComparisonWords.Unit(compared.Measure)}".TrimEnd();
        return [HtmlPage.Safe(name), Mark(compared), .. cells.Select(HtmlPage.Safe)];
    }

    private static string Mark(MeasureComparison compared)
    {
        if (compared.DetectableChange is not > 0 || compared.Difference is not { } difference)
        {
            return "";
        }

        double Place(double value) => HalfWidth * Math.Clamp(value / compared.DetectableChange!.Value / EdgeChanges, -1, 1);
        var band = HalfWidth / EdgeChanges;
        var colour = compared.Words is null ? "var(--soft)" : "var(--orange)";
        var line = compared.Interval95 is { } interval
            ? string.Create(CultureInfo.InvariantCulture, $"<line x1=\"{Place(interval.Low):0.#}\" x2=\"{Place(interval.High):0.#}\" y1=\"0\" y2=\"0\" stroke=\"{colour}\" stroke-width=\"2\"/>")
            : "";
        return string.Create(
            CultureInfo.InvariantCulture,
            $"<svg width=\"172\" height=\"18\" viewBox=\"-86 -9 172 18\" role=\"img\" aria-label=\"{compared.ChangeRatio:0.0} detectable changes\"><rect x=\"{-band:0.#}\" y=\"-8\" width=\"{2 * band:0.#}\" height=\"16\" fill=\"var(--grid)\"/><line x1=\"0\" x2=\"0\" y1=\"-8\" y2=\"8\" stroke=\"var(--line)\"/>{line}<circle cx=\"{Place(difference):0.#}\" cy=\"0\" r=\"4\" fill=\"{colour}\"/></svg>");
    }
}
