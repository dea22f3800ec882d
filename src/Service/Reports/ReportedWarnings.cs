using System.Text.Json;
using Saltograph.Service.Results;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Reports;

/// <summary>Warnings in a report, oldest first: when, what, its state, who acknowledged it. Only for those who may look at warnings; others are told that they are left out.</summary>
internal sealed class ReportedWarnings(ReportSources sources)
{
    /// <summary>Most that are listed, the latest of them; a page of more is read by nobody.</summary>
    public const int Most = 200;

    private const string Acknowledged = "acknowledged";

    /// <summary>Adds those of some athletes that were raised in a stretch of time.</summary>
    /// <param name="page">The report.</param>
    /// <param name="stretches">Athlete, begin and end, us since 1970; the end is not included.</param>
    /// <param name="stop">Gives up.</param>
    public async Task AddAsync(ReportPage page, IEnumerable<(string Athlete, long FromUs, long BeforeUs)> stretches, CancellationToken stop)
    {
        page.Heading("report.warnings");
        if (!sources.ShowsWarnings)
        {
            page.Text("report.warnings.noright", "soft");
            return;
        }

        var found = new List<WarningRow>();
        foreach (var (athlete, fromUs, beforeUs) in stretches)
        {
            found.AddRange(await sources.Store.Warnings.RaisedAsync(athlete, fromUs, beforeUs, Most + 1, stop));
        }

        var rows = found.DistinctBy(row => row.Id, StringComparer.Ordinal).OrderByDescending(row => row.RaisedUs).ThenBy(row => row.Id, StringComparer.Ordinal).Take(Most).Reverse().ToList();
        if (rows.Count == 0)
        {
            page.Text("report.warnings.none");
            return;
        }

        var lines = new List<(string, IReadOnlyList<string>)>();
        foreach (var row in rows)
        {
            lines.Add((Cited.From("/api/v1/warnings/" + Uri.EscapeDataString(row.Id)), Cells(page, row, await sources.Store.Warnings.HistoryAsync(row.Id, stop))));
        }

        page.Text(rows.Count < found.Count ? "report.warnings.latest" : "report.warnings.intro", "soft")
            .Table(["~warnings.raised", "~report.athlete", "~warnings.what", "~warnings.priority", "~warnings.state", "~report.warnings.who"], lines);
    }

    private IReadOnlyList<string> Cells(ReportPage page, WarningRow row, IReadOnlyList<WarningChangeRow> history) =>
    [
        Cited.Time(row.RaisedUs, "/warning/raised", sources.Time.DayClock(row.RaisedUs)),
        HtmlPage.Safe(row.Athlete),
        What(row),
        Word("priority", row.Priority, "/warning/priority"),
        Word("state", row.State, "/warning/state"),
        Who(page, history),
    ];

    private static string What(WarningRow row)
    {
        using var detail = JsonDocument.Parse(row.Detail);
        return detail.RootElement.TryGetProperty("text", out var text) && text.GetString() is { Length: > 0 } said
            ? Cited.Text(said, "/warning/lastChange/text")
            : Cited.Text(row.Rule, "/warning/rule");
    }

    // A word that this program's texts do not have is shown as the interface has it.
    private string Word(string group, string word, string take) =>
        sources.Words.Has($"{group}.{word}") ? Cited.Word(word, take, sources.Words[$"{group}.{word}"]) : Cited.Text(word, take);

    // The last one: a warning that comes back from a shelf may be acknowledged again.
    private string Who(ReportPage page, IReadOnlyList<WarningChangeRow> history)
    {
        for (var i = history.Count - 1; i >= 0; i--)
        {
            if (history[i] is { State: Acknowledged, Who: { } who } change)
            {
                return page.Markup("report.warnings.by", Cited.Text(who, $"/history/{i}/who"), Cited.Time(change.AtUs, $"/history/{i}/time", sources.Time.Clock(change.AtUs)));
            }
        }

        return page.Markup("report.warnings.nobody");
    }
}
