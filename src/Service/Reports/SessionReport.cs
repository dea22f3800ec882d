using System.Globalization;
using Saltograph.Board.Live;
using Saltograph.Board.Text;
using Saltograph.Service.Api;
using Saltograph.Service.Results;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Reports;

/// <summary>The report of one training: everybody who trained at that time, or one athlete.</summary>
internal sealed class SessionReport(ReportSources sources)
{
    private const int Best = 3;
    private const long AfterUs = 60_000_000;

    private static readonly Measure[] Columns = [Measures.FlightTime, Measures.Height, Measures.Turn, Measures.Split, Measures.Shock];

    private static readonly string[] Forms = ["leap", "hop", "jump", "assemble", "sissonne"];

    private readonly Words _words = sources.Words;
    private readonly HallTime _time = sources.Time;

    private sealed record Part(SessionRow Session, JumpGroup Jumps, DateOnly Day, DayPlan? Plan, SessionChangeBody? Change);

    /// <summary>The page; null when there is no such training.</summary>
    /// <param name="session">Id of a training of one athlete; null for the latest.</param>
    /// <param name="athlete">Only hers; null for everybody who trained at that time.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<string?> TextAsync(string? session, string? athlete, CancellationToken stop)
    {
        if (await sources.TrainingAsync(session, athlete, stop) is not { Count: > 0 } trainings)
        {
            return null;
        }

        var day = _time.Day(trainings.Min(training => training.OpenedUs));
        var plans = await sources.PlansAsync(athlete, day, day, stop);
        var parts = new List<Part>();
        foreach (var training in trainings)
        {
            var plan = plans[training.Athlete].FirstOrDefault(row => row.Kind == PlanRow.PlanKind);
            parts.Add(new(training, await sources.OfSessionAsync(training.Id, stop), day, plan is null ? null : DayPlan.Read(plan.Limits),
                await sources.Change.OfSessionAsync(training.Id, stop)));
        }

        var page = sources.Begin(_words.Of("report.session.title", HallTime.Name(day)));
        Overview(page, parts);
        foreach (var part in parts)
        {
            Person(page, part);
        }

        await new ReportedWarnings(sources).AddAsync(page, trainings.Select(training => (training.Athlete, training.OpenedUs, EndUs(training))), stop);
        page.Heading("report.session.all").Text("report.session.all.intro", "soft");
        foreach (var part in parts.Where(part => part.Jumps.Jumps.Count > 0))
        {
            page.Raw($"<h3>{part.Session.Athlete}</h3>");
            All(page, part.Jumps);
        }

        return page.Finish();
    }

    // What the last landing led to is raised a moment after it, and may be so after the training was closed.
    private long EndUs(SessionRow training) => (training.ClosedUs ?? _time.NowUs) + AfterUs;

    private static string Address(SessionRow session) => "/api/v1/sessions/" + Uri.EscapeDataString(session.Id);

    private void Overview(ReportPage page, List<Part> parts)
    {
        page.Heading("report.session.overview");
        page.Table(
            ["~report.athlete", "~report.from", "~report.to", "report.jumps", "report.planned", "report.leftlandings", "report.rightlandings", "report.hard", "report.bestheight", "report.medianflight", "report.exertion"],
            parts.Select(part => (Cited.From(Address(part.Session)), (IReadOnlyList<string>)
            [
                part.Session.Athlete,
                Cited.Time(part.Session.OpenedUs, "/opened", _time.Clock(part.Session.OpenedUs)),
                part.Session.ClosedUs is { } closed ? Cited.Time(closed, "/closed", _time.Clock(closed)) : page.Markup("report.running"),
                part.Jumps.Count(),
                Planned(part),
                part.Jumps.Where("landingFoot", "left", row => row.LandingFoot == "left").Count(),
                part.Jumps.Where("landingFoot", "right", row => row.LandingFoot == "right").Count(),
                Hard(part.Jumps),
                part.Jumps.Best(Measures.Height),
                part.Jumps.Median(Measures.FlightTime),
                Cited.Of(part.Session.Exertion, "/exertion", 1),
            ])));
        page.Text("report.session.decide", "decide");
        if (parts.Exists(part => part.Jumps.Jumps.Count > 0))
        {
            page.Wide(
                110 + (46 * parts.Count),
                SessionPlots.Rows([.. parts.Select(part => (part.Session.Athlete, part.Jumps))], _time, _words),
                _words["report.plot.when.says"]);
            Key(page);
        }
        else
        {
            page.Text("report.session.nojump");
        }
    }

    private static void Key(ReportPage page) => page.Raw(
        $"<p class=\"key\"><span><svg viewBox=\"0 0 10 10\" aria-hidden=\"true\"><circle cx=\"5\" cy=\"5\" r=\"4\"/></svg>{page.Markup("report.key.jump")}</span>"
        + $"<span class=\"is-hard\"><svg viewBox=\"0 0 10 10\" aria-hidden=\"true\"><path d=\"M5 0 10 9.5H0z\"/></svg>{page.Markup("report.key.hard")}</span></p>");

    private static string Hard(JumpGroup group) => Cited.Count(group.Jumps.Count(jump => jump.IsHard), "hard", Cited.From(group.Address));

    private static string Planned(Part part) => part.Plan?.Jumps is { } planned
        ? Cited.Count(planned, "/plans/0/limits/jumps", Cited.From(PlanAddress(part)))
        : Cited.Dash;

    private static string PlanAddress(Part part) =>
        string.Create(CultureInfo.InvariantCulture, $"/api/v1/plans?athlete={part.Session.Athlete}&fromDay={part.Day:yyyy-MM-dd}");

    private void Person(ReportPage page, Part part)
    {
        page.Raw("<section class=\"person\">").Raw($"<h2>{part.Session.Athlete}</h2>");
        Described(page, part.Session);
        var jumps = part.Jumps;
        if (jumps.Jumps.Count == 0)
        {
            page.Text("report.session.nojump").Raw("</section>");
            return;
        }

        page.Part("report.best");
        BestThree(page, jumps, [Measures.Height, Measures.FlightTime, Measures.Split]);
        var forms = Forms.Select(form => (Form: form, Group: jumps.Where("form", form, row => row.Form == form))).Where(each => each.Group.Jumps.Count > 0).ToList();
        if (forms.Count > 0)
        {
            page.Part("report.forms").Table(
                ["~report.form", "report.jumps", .. Columns.Select(column => $"report.median.{column.Key}")],
                forms.Select(each => ("", (IReadOnlyList<string>)[page.Markup($"form.{each.Form}"), each.Group.Count(), .. Columns.Select(each.Group.Median)])));
        }

        page.Plots(300, [.. new[] { Measures.Height, Measures.Turn, Measures.Split, Measures.Shock }.Select(measure =>
            (SessionPlots.Course(jumps, measure, _time, _words), _words.Of("report.plot.course.says", _words[$"measure.{measure.Key}"], part.Session.Athlete)))]);
        if (part.Change is { } change)
        {
            TrainingChange.Add(page, change);
        }

        Missing(page, jumps);
        page.Raw("</section>");
    }

    private static void Described(ReportPage page, SessionRow session)
    {
        page.Text($"report.kind.{session.Kind}", "soft");
        if (!string.IsNullOrWhiteSpace(session.Apparatus))
        {
            page.Text("report.apparatus", "", HtmlPage.Safe(session.Apparatus));
        }

        if (!string.IsNullOrWhiteSpace(session.Notes))
        {
            page.Raw($"<blockquote{Cited.From(Address(session))} data-take=\"/notes\">{HtmlPage.Safe(session.Notes)}</blockquote>");
        }
    }

    /// <summary>The best three of some measures, each with its uncertainty and time.</summary>
    internal void BestThree(ReportPage page, JumpGroup jumps, IEnumerable<Measure> measures) => page.Raw(
        "<div class=\"three\">" + string.Concat(measures.Where(measure => jumps.Largest(measure, 1).Any()).Select(measure =>
            $"<div><b>{page.Markup($"measure.{measure.Key}")}</b><ol>" + string.Concat(jumps.Largest(measure, Best).Select(jump =>
                $"<li{Cited.From(jump.Address)}>{Cited.Measure(measure, jump.Sheet)} {HtmlPage.Safe(measure.Unit)} <small>{Cited.Time(jump.Row.LandingUs, "/landing", _time.DayClock(jump.Row.LandingUs))}</small></li>")) + "</ol></div>")) + "</div>");

    // What was left out, and of how many, so that nobody takes an empty cell for a zero.
    private void Missing(ReportPage page, JumpGroup jumps)
    {
        var missing = Columns
            .Select(measure => (measure, Count: jumps.Jumps.Count(jump => jump.Sheet.Number(measure.Key) is null)))
            .Where(each => each.Count > 0)
            .Select(each => $"{HtmlPage.Safe(_words[$"measure.{each.measure.Key}"].ToLowerInvariant())} ({Cited.Count(each.Count, "missing:" + Cited.Pointer(each.measure.Key), Cited.From(jumps.Address))})")
            .ToList();
        if (missing.Count > 0)
        {
            page.Text("report.missing", "soft", jumps.Count(), string.Join(", ", missing));
        }
    }

    private void All(ReportPage page, JumpGroup jumps) => page.Table(
        ["~report.landed", "~report.form", .. Columns.Select(column => $"report.column.{column.Key}"), "~report.foot", "~report.landing", "~report.grade"],
        jumps.Jumps.Select(jump => (
            Cited.From(jump.Address) + (jump.IsHard ? " class=\"hard\"" : ""),
            (IReadOnlyList<string>)
            [
                Cited.Time(jump.Row.LandingUs, "/landing", _time.Clock(jump.Row.LandingUs)),
                page.Markup($"form.{jump.Row.Form ?? "none"}"),
                .. Columns.Select(column => Cited.Measure(column, jump.Sheet)),
                page.Markup($"leg.{jump.Row.LandingFoot ?? "none"}"),
                page.Markup($"landing.{jump.Row.LandingClass ?? "unmeasured"}"),
                HtmlPage.Safe(jump.Row.Grade),
            ])));
}
