using Saltograph.Board.Records;
using Saltograph.Board.Text;
using Saltograph.Comparison;
using Saltograph.Service.Results;
using Saltograph.Service.Results.Comparing;

namespace Saltograph.Service.Reports;

/// <summary>The report of a comparison, B against A.</summary>
internal sealed class ComparisonReport(ReportSources sources)
{
    /// <summary>The page.</summary>
    /// <param name="found">Both sides have jumps.</param>
    /// <param name="question">The question to the HTTP interface that gives it, without the question mark.</param>
    public string Text(StoredComparison found, string question)
    {
        var page = sources.Begin(sources.Words["report.compare.title"]);
        page.Raw($"<div{Cited.From("/api/v1/comparison?" + question)}>");
        page.Text("report.compare.sides", "", Side(page, found.A, "a"), Side(page, found.B, "b"));
        page.Text("compare.caution", "decide");
        page.Heading("compare.most");
        if (found.Remarks.Count == 0)
        {
            page.Text("compare.none").Text("compare.none.why", "soft");
        }

        page.Raw("<ol>" + string.Concat(found.Remarks.Select((remark, i) => $"<li><q data-take=\"/mostDifferent/{i}/text\">{HtmlPage.Safe(remark.Text)}</q> {Figures(page, found, remark.Difference)}</li>")) + "</ol>");
        Courses(page, found);
        Table(page, found);
        return page.Text("compare.how", "soft").Text(found.Measures.MixesAthletes ? "compare.mixes" : "report.compare.one", "soft").Raw("</div>").Finish();
    }

    private static string Side(ReportPage page, ComparedSide side, string letter) =>
        page.Markup("report.compare.side", Cited.Count(side.Jumps.Count, $"/{letter}/jumps"), string.Join(", ", side.Jumps.Select(jump => jump.Row.Athlete).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)));

    private static string Figures(ReportPage page, StoredComparison found, MeasureComparison difference)
    {
        var place = Place(found, difference);
        var most = difference.DetectableChange is null ? "detectableChangeOfTwoJumps" : "detectableChange";
        return "<small>" + page.Markup(
            "report.compare.figures",
            page.Markup($"measure.{difference.Measure.Key}"),
            Number(difference.Measure, difference.Difference, $"{place}/difference", withSign: true),
            HtmlPage.Safe(RemarkWords.Shown(difference.Measure).Unit),
            Number(difference.Measure, difference.DetectableChange ?? difference.DetectableChangeOfTwoJumps, $"{place}/{most}")) + "</small>";
    }

    private void Courses(ReportPage page, StoredComparison found)
    {
        if (found.Courses.Count > 0)
        {
            page.Heading("compare.courses").Text(found.Courses.Any(course => course.Comparison.DetectableChange is not null) ? "report.compare.key" : "compare.courses.fewkey", "soft");
            page.Plots(300, [.. found.Courses.Select(course => (
                CurvePlot.Of(new(course.Key, sources.Words[$"course.{course.Key}"], course.Unit), course.Comparison), sources.Words.Of("compare.plot.says", sources.Words[$"course.{course.Key}"], sources.Words["report.compare.both"], course.Comparison.Stretches.Count)))]);
        }
    }

    private static void Table(ReportPage page, StoredComparison found) => page.Heading("compare.all").Table(
        ["~jump.measure", "report.compare.a", "report.compare.b", "compare.bminusa", "compare.interval", "compare.detectable", "report.compare.g", "~compare.verdict"],
        found.Measures.Measures.Where(each => each.Verdict != Verdict.NotMeasured).Select(each =>
        {
            var (measure, place) = (each.Measure, Place(found, each));
            var unit = RemarkWords.Shown(measure).Unit;
            return (each.Words is null ? "" : " class=\"told\"", (IReadOnlyList<string>)
            [
                page.Markup($"measure.{measure.Key}") + (unit.Length > 0 ? $", {HtmlPage.Safe(unit)}" : ""),
                Group(measure, each.A!, place + "/a"),
                Group(measure, each.B!, place + "/b"),
                (each.IsBound ? "≥ " : "") + Number(measure, each.Difference, place + "/difference", withSign: true),
                each.Interval95 is { } interval
                    ? page.Markup("compare.range", Number(measure, interval.Low, place + "/interval95/0", withSign: true), Number(measure, interval.High, place + "/interval95/1", withSign: true))
                    : Cited.Dash,
                Number(measure, each.DetectableChange, place + "/detectableChange"),
                Cited.Of(each.HedgesG, place + "/hedgesG", 1),
                page.Markup($"verdict.{each.Verdict}"),
            ]);
        }));

    private static string Group(Comparison.Measure measure, GroupStatistics group, string place) =>
        (group.AtLeast > 0 ? "≥ " : "") + Number(measure, group.Mean, place + "/mean")
        + (group.StandardDeviation is { } deviation ? $" ± {Number(measure, deviation, place + "/standardDeviation")}" : "") + $" <small>({Cited.Count(group.Count, place + "/count")})</small>";

    private static string Number(Comparison.Measure measure, double? value, string take, bool withSign = false) => value is { } known
        ? Cited.Number(known, take, withSign ? RemarkWords.WithSign(measure, known) : RemarkWords.Text(measure, known), RemarkWords.Shown(measure).Factor)
        : Cited.Dash;

    private static string Place(StoredComparison found, MeasureComparison of) => FormattableString.Invariant($"/measures/{found.Measures.Measures.TakeWhile(each => each.Measure.Key != of.Measure.Key).Count()}");
}
