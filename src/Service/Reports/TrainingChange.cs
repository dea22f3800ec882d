using System.Globalization;
using Saltograph.Load;
using Saltograph.Service.Api;
using Saltograph.Service.Results;

namespace Saltograph.Service.Reports;

/// <summary>What changed inside a training of one athlete, as a part of a report. Only what is beyond error; that it was looked for is said too.</summary>
internal static class TrainingChange
{
    /// <summary>Adds it; nothing when no element was jumped often enough.</summary>
    public static void Add(ReportPage page, SessionChangeBody body)
    {
        if (body.Changes.Count == 0)
        {
            return;
        }

        page.Part("athlete.fatigue");
        var shown = body.Changes.Select((change, place) => (change, place)).Where(each => each.change.Change is not null).ToList();
        if (shown.Count == 0)
        {
            page.Text("report.change.within", "soft", Cited.Count(body.Changes.Count, "length:/changes", From(body)));
        }
        else
        {
            page.Table(
                ["~report.form", "~report.foot", "~report.change.measure", "report.change", "report.change.percent", "report.change.needed", "report.jumps"],
                shown.Select(each => (From(body), Cells(page, each.change, $"/changes/{each.place}/"))));
        }

        page.Text("athlete.fatigue.caveat", "soft");
    }

    private static string From(SessionChangeBody body) => Cited.From($"/api/v1/sessions/{Uri.EscapeDataString(body.Session)}/change");

    private static IReadOnlyList<string> Cells(ReportPage page, ElementChangeBody change, string at)
    {
        var (unit, factor, digits) = change.Measure switch { ChangeMeasure.Height => ("cm", 100.0, 1), ChangeMeasure.ContactTime => ("ms", 1000.0, 0), _ => ("g", 1.0, 1) };
        string Figure(double value, string key) => Cited.Number(value, at + key, Cited.Digits(value * factor, digits), factor) + " " + unit;
        return
        [
            page.Markup($"form.{Word(change.Form)}") + (change.Apparatus is { } apparatus ? ", " + HtmlPage.Safe(apparatus) : ""),
            page.Markup($"leg.{Word(change.LandingLeg)}"),
            page.Markup($"change.{Word<ChangeMeasure>(change.Measure)}"),
            Figure(change.Change!.Value, "change"),
            change.ChangePercent is { } percent ? Cited.Number(percent, at + "changePercent", Cited.Digits(percent, 0)) : Cited.Dash,
            Figure(change.NeededChange, "neededChange"),
            Cited.Count(change.Jumps, at + "jumps"),
        ];
    }

    private static string Word<T>(T? value)
        where T : struct, Enum => value?.ToString().ToLower(CultureInfo.InvariantCulture) ?? "none";
}
