using System.Globalization;
using Saltograph.Board.Text;
using Saltograph.Load;
using Saltograph.Service.Api;
using Saltograph.Service.Results;
using Saltograph.Store;
using ScottPlot;

namespace Saltograph.Service.Reports;

/// <summary>The report of seven days of everybody.</summary>
internal sealed class WeekReport(ReportSources sources)
{
    private const int Days = 7;

    private readonly Words _words = sources.Words;

    /// <summary>The page.</summary>
    /// <param name="last">Last day of the seven.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<string> TextAsync(DateOnly last, CancellationToken stop)
    {
        var first = last.AddDays(1 - Days);
        var squad = await sources.Load.SquadAsync(last, "jumps", stop);
        var page = sources.Begin(_words.Of("report.week.title", HallTime.Name(first), HallTime.Name(last)));
        if (squad.Athletes.Count == 0)
        {
            return page.Text("report.week.none").Finish();
        }

        var loads = (await sources.Store.Load.DaysAsync(null, LoadDays.Text(first), LoadDays.Text(last), stop)).ToLookup(load => load.Athlete, StringComparer.Ordinal);
        var from = Cited.From(string.Create(CultureInfo.InvariantCulture, $"/api/v1/squad/load?day={last:yyyy-MM-dd}"));
        page.Cards(
            (Cited.Count(squad.Athletes.Count, "length:/athletes", from), "report.week.athletes"),
            (Cited.Count(squad.Athletes.Sum(line => line.Jumps7Days), "sum:/athletes/jumps7Days", from), "report.week.jumps"));
        page.Text("report.week.decide", "decide");
        page.Wide(90 + (44 * squad.Athletes.Count), Bars(squad), _words["report.plot.week.says"]).Text("report.plot.week.key", "soft");
        ByDay(page, squad, loads, first);
        Figures(page, squad, from);
        return page.Text("load.fostercaveat", "soft").Raw($"<p class=\"soft\">{HtmlPage.Safe(AcuteToChronic.Caveat)}</p>").Finish();
    }

    private static void ByDay(ReportPage page, SquadBody squad, ILookup<string, DayLoad> loads, DateOnly first)
    {
        var days = Enumerable.Range(0, Days).Select(first.AddDays).ToList();
        page.Heading("report.week.byday").Raw("<div class=\"scroll\"><table><thead><tr><th scope=\"col\" class=\"text\">" + page.Markup("report.athlete") + "</th>"
            + string.Concat(days.Select(day => string.Create(CultureInfo.InvariantCulture, $"<th scope=\"col\"><time datetime=\"{day:yyyy-MM-dd}\">{HallTime.Name(day)}</time></th>"))) + "</tr></thead><tbody>");
        foreach (var line in squad.Athletes)
        {
            var known = loads[line.Athlete].ToDictionary(load => load.Day, load => load.Jumps, StringComparer.Ordinal);
            page.Raw($"<tr><th scope=\"row\">{line.Athlete}</th>" + string.Concat(days.Select(day => known.TryGetValue(LoadDays.Text(day), out var jumps)
                ? $"<td>{Cited.Count(jumps, "/today/jumps", Cited.From(ReportSources.LoadAddress(line.Athlete, day)))}</td>"
                : $"<td>{Cited.Dash}</td>")) + "</tr>");
        }

        page.Raw("</tbody></table></div>").Text("report.week.dash", "soft");
    }

    private static void Figures(ReportPage page, SquadBody squad, string from) => page.Heading("report.week.figures").Table(
        ["~report.athlete", "report.week.sum", "report.week.before", "report.week.change", "report.acute", "report.chronic", "report.week.monotony", "report.week.monotony1", "report.week.strain", "report.week.missing"],
        squad.Athletes.Select((line, i) => (from, (IReadOnlyList<string>)
        [
            line.Athlete,
            Cited.Count(line.Jumps7Days, $"/athletes/{i}/jumps7Days"),
            Cited.Of(line.Week.SumBefore, $"/athletes/{i}/week/sumBefore", 0),
            Cited.Of(line.Week.Change, $"/athletes/{i}/week/change", 0),
            Cited.Of(line.Today?.Acute, $"/athletes/{i}/today/acute", 1),
            Cited.Of(line.Today?.Chronic, $"/athletes/{i}/today/chronic", 1),
            Cited.Of(line.Week.MonotonyOverN, $"/athletes/{i}/week/monotonyOverN", 2),
            Cited.Of(line.Week.MonotonyOverNMinus1, $"/athletes/{i}/week/monotonyOverNMinus1", 2),
            Cited.Of(line.Week.StrainOverN, $"/athletes/{i}/week/strainOverN", 0),
            Cited.Count(line.Week.MissingDays, $"/athletes/{i}/week/missingDays"),
        ])));

    private Plot Bars(SquadBody squad)
    {
        var plot = PageDrawing.New(_words["report.plot.week"], _words["report.jumps"], "");
        for (var i = 0; i < squad.Athletes.Count; i++)
        {
            var y = squad.Athletes.Count - 1 - i;
            var bar = plot.Add.Rectangle(0, squad.Athletes[i].Jumps7Days, y - 0.3, y + 0.3);
            bar.FillColor = PageDrawing.Blue;
            bar.LineWidth = 0;
            if (squad.Athletes[i].Week.SumBefore is { } before)
            {
                var tick = plot.Add.Line(before, y - 0.42, before, y + 0.42);
                tick.LineColor = PageDrawing.Orange;
                tick.LineWidth = 3;
            }
        }

        plot.Axes.Left.SetTicks([.. Enumerable.Range(0, squad.Athletes.Count).Select(i => (double)(squad.Athletes.Count - 1 - i))], [.. squad.Athletes.Select(line => line.Athlete)]);
        plot.Axes.Left.MajorTickStyle.Length = 0;
        plot.Axes.SetLimits(0, Math.Max(1, squad.Athletes.Max(line => Math.Max(line.Jumps7Days, line.Week.SumBefore ?? 0))) * 1.06, -0.6, squad.Athletes.Count - 0.4);
        plot.Grid.YAxisStyle.IsVisible = false;
        return plot;
    }
}
