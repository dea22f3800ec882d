using Saltograph.Board.Live;
using Saltograph.Board.Text;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Api;
using Saltograph.Service.Results;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Reports;

/// <summary>The report of four weeks of one athlete.</summary>
internal sealed class MonthReport(ReportSources sources)
{
    private const int Days = 28;

    private static readonly Measure[] Trends = [Measures.Height, Measures.FlightTime, Measures.Split, Measures.Shock];

    private readonly Words _words = sources.Words;

    /// <summary>The page.</summary>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="last">Last day of the 28.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<string> TextAsync(string athlete, DateOnly last, CancellationToken stop)
    {
        var first = last.AddDays(1 - Days);
        var load = await sources.Load.OfAsync(athlete, last, "jumps", 1, null, stop);
        var jumps = await sources.OfDaysAsync(athlete, first, last, stop);
        var plans = (await sources.PlansAsync(athlete, first, last, stop))[athlete].Where(plan => plan.Kind == PlanRow.PlanKind)
            .Select(plan => (Day: LoadDays.Day(plan.Day), DayPlan.Read(plan.Limits).Jumps)).Where(plan => plan.Jumps is not null).ToDictionary(plan => plan.Day, plan => plan.Jumps!.Value);
        var sessions = await sources.Store.Sessions.OverlappingAsync(athlete, sources.Time.BeginsUs(first), sources.Time.BeginsUs(last.AddDays(1)), stop);
        var page = sources.Begin(_words.Of("report.month.title", athlete, HallTime.Name(first), HallTime.Name(last)));
        if (jumps.Jumps.Count == 0 && sessions.Count == 0)
        {
            return page.Text("report.month.none").Finish();
        }

        var from = Cited.From(ReportSources.LoadAddress(athlete, last));
        Head(page, load, jumps, from);
        Load(page, load, first, plans, from);
        if (jumps.Jumps.Count > 0)
        {
            page.Heading("report.best");
            new SessionReport(sources).BestThree(page, jumps, [Measures.Height, Measures.FlightTime, Measures.Split]);
            page.Heading("report.month.trends").Text("report.month.trends.intro", "soft");
            page.Plots(300, [.. Trends.Select(measure => (MonthPlots.Trend(jumps, measure, first, Days, sources.Time, _words), _words.Of("report.plot.trend.says", _words[$"measure.{measure.Key}"])))]);
            Sides(page, jumps, load, from);
        }

        await new ReportedWarnings(sources).AddAsync(page, [(athlete, sources.Time.BeginsUs(first), sources.Time.BeginsUs(last.AddDays(1)))], stop);
        Trainings(page, sessions);
        return page.Finish();
    }

    private static void Head(ReportPage page, LoadBody load, JumpGroup jumps, string from)
    {
        page.Cards(
            (Cited.Count(load.Days28.Jumps, "/days28/jumps", from), "report.month.jumps"),
            (Cited.Count(load.Days7.Jumps, "/days7/jumps", from), "report.month.week"),
            (Cited.Count(load.Days28.MostInOneMinute, "/days28/mostInOneMinute", from), "report.month.minute"),
            (jumps.Best(Measures.Height) + " <small>cm</small>", "report.month.best"),
            (Cited.Count(jumps.Jumps.Count(jump => jump.IsHard), "hard", Cited.From(jumps.Address)), "report.month.hard"));
        page.Text("report.month.decide", "decide");
    }

    private void Load(ReportPage page, LoadBody load, DateOnly first, Dictionary<DateOnly, int> plans, string from)
    {
        var week = load.Week;
        page.Heading("report.load");
        if (load.Curve.Count > 0)
        {
            page.Wide(260, MonthPlots.Days(load.Curve, first, Days, plans, _words), _words["report.plot.days.says"]).Text("report.plot.days.key", "soft");
            page.Wide(240, MonthPlots.Curves(load.Curve, first, Days, _words), _words["report.plot.curves.says"]).Text("report.plot.curves.key", "soft");
        }

        (string Name, double? Value, string Place, int Digits)[] figures =
        [
            ("sum", week.Sum, "sum", 0), ("before", week.SumBefore, "sumBefore", 0), ("change", week.Change, "change", 0),
            ("monotony", week.MonotonyOverN, "monotonyOverN", 2), ("monotony1", week.MonotonyOverNMinus1, "monotonyOverNMinus1", 2),
            ("strain", week.StrainOverN, "strainOverN", 0), ("strain1", week.StrainOverNMinus1, "strainOverNMinus1", 0), ("missing", week.MissingDays, "missingDays", 0),
        ];
        page.Table(
            ["~report.figure", "report.value"],
            figures.Where(figure => figure.Value is not null).Select(figure =>
                ("", (IReadOnlyList<string>)[page.Markup("report.week." + figure.Name), Cited.Of(figure.Value, "/week/" + figure.Place, figure.Digits, from)])));
        if (week.MissingDays > 0)
        {
            page.Text("report.week.unknown", "soft");
        }

        page.Text("load.fostercaveat", "soft").Raw($"<p class=\"soft\">{HtmlPage.Safe(AcuteToChronic.Caveat)}</p>");
    }

    private static void Sides(ReportPage page, JumpGroup jumps, LoadBody load, string from)
    {
        page.Heading("report.sides").Table(
            ["~report.leg", "report.takeoffs", "report.median.heightM", "report.landings", "report.median.landingShockG.trunk", "report.hard"],
            new[] { ("left", load.Days28.Takeoffs.Left, load.Days28.Landings.Left), ("right", load.Days28.Takeoffs.Right, load.Days28.Landings.Right), ("both", load.Days28.Takeoffs.Both, load.Days28.Landings.Both) }
                .Select(each =>
                {
                    var (side, takeoffs, landings) = each;
                    var landed = jumps.Where("landingFoot", side, row => row.LandingFoot == side);
                    return ("", (IReadOnlyList<string>)
                    [
                        page.Markup($"leg.{side}"),
                        Cited.Count(takeoffs, $"/days28/takeoffs/{side}", from),
                        jumps.Where("takeoffFoot", side, row => row.TakeoffFoot == side).Median(Measures.Height),
                        Cited.Count(landings, $"/days28/landings/{side}", from),
                        landed.Median(Measures.Shock),
                        Cited.Count(landed.Jumps.Count(jump => jump.IsHard), "hard", Cited.From(landed.Address)),
                    ]);
                }));
        page.Text("athlete.sides.caveat", "soft");
    }

    private void Trainings(ReportPage page, IReadOnlyList<SessionRow> sessions)
    {
        page.Heading("report.trainings");
        if (sessions.Count == 0)
        {
            page.Text("report.trainings.none");
            return;
        }

        page.Table(
            ["~report.from", "~report.to", "~report.kind", "~report.apparatus.short", "report.exertion", "~report.notes"],
            sessions.Select(session => (Cited.From("/api/v1/sessions/" + Uri.EscapeDataString(session.Id)), (IReadOnlyList<string>)
            [
                Cited.Time(session.OpenedUs, "/opened", sources.Time.DayClock(session.OpenedUs)),
                session.ClosedUs is { } closed ? Cited.Time(closed, "/closed", sources.Time.DayClock(closed)) : page.Markup("report.running"),
                page.Markup($"report.kind.{session.Kind}"),
                HtmlPage.Safe(session.Apparatus ?? ""),
                Cited.Of(session.Exertion, "/exertion", 1),
                string.IsNullOrWhiteSpace(session.Notes) ? "" : $"<q data-take=\"/notes\">{HtmlPage.Safe(session.Notes)}</q>",
            ])));
    }
}
