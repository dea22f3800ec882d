using System.Globalization;
using Saltograph.Board.Text;
using Saltograph.Imu;
using Saltograph.Service.Api;
using Saltograph.Store;
using Saltograph.Store.Queries;
using Saltograph.Store.Rows;
using Saltograph.Wire;

namespace Saltograph.Service.Reports;

/// <summary>What reports are made from: the same stored rows, by the same questions, that the HTTP interface answers.</summary>
internal sealed class ReportSources(HallView store, LoadAnswers load, ChangeAnswers change, HallTime time, Words words, bool showsWarnings)
{
    private const int Page = 10_000;
    private const long LongestTrainingUs = 24L * 3_600_000_000;
    private const long LookBackUs = 28L * 86_400_000_000;

    /// <summary>Texts.</summary>
    public Words Words => words;

    /// <summary>The hall's clock.</summary>
    public HallTime Time => time;

    /// <summary>Load.</summary>
    public LoadAnswers Load => load;

    /// <summary>Change inside trainings.</summary>
    public ChangeAnswers Change => change;

    /// <summary>Rows.</summary>
    public HallView Store => store;

    /// <summary>Whether who asks may look at warnings.</summary>
    public bool ShowsWarnings => showsWarnings;

    /// <summary>A page of a report that is made now.</summary>
    public ReportPage Begin(string title) => new(words, title, time.DayClock(time.NowUs), time.Zone);

    /// <summary>
    /// The training of the hall that a training belongs to: with those of others at the same time. Null when there is no such training, or none in the last 28 days.
    /// </summary>
    /// <param name="id">Id of a training of one athlete; null for the latest.</param>
    /// <param name="athlete">Only hers; null for everybody's.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<IReadOnlyList<SessionRow>?> TrainingAsync(string? id, string? athlete, CancellationToken stop)
    {
        var one = id is not null
            ? await store.Sessions.FindAsync(id, stop)
            : await store.Sessions.OverlappingAsync(athlete, time.NowUs - LookBackUs, time.NowUs, stop) is [.., var latest] ? latest : null;
        if (one is null || (athlete is not null && one.Athlete != athlete))
        {
            return null;
        }

        if (athlete is not null)
        {
            return [one];
        }

        var ends = Math.Min(one.ClosedUs ?? time.NowUs, one.OpenedUs + LongestTrainingUs);
        return [.. (await store.Sessions.OverlappingAsync(null, one.OpenedUs, ends + 1, stop)).OrderBy(row => row.Athlete, StringComparer.Ordinal).ThenBy(row => row.OpenedUs)];
    }

    /// <summary>The jumps of a training.</summary>
    public Task<JumpGroup> OfSessionAsync(string session, CancellationToken stop) => ReadAsync(new() { Session = session }, $"session={Uri.EscapeDataString(session)}", stop);

    /// <summary>The jumps of an athlete on some days of the hall, both ends included.</summary>
    public Task<JumpGroup> OfDaysAsync(string athlete, DateOnly first, DateOnly last, CancellationToken stop)
    {
        var (from, before) = (time.BeginsUs(first), time.BeginsUs(last.AddDays(1)));
        return ReadAsync(
            new() { Athlete = athlete, FromUs = from, BeforeUs = before },
            $"athlete={athlete}&from={Rfc3339.Text(new SampleTime(from))}&before={Rfc3339.Text(new SampleTime(before))}",
            stop);
    }

    /// <summary>The jumps of a filter.</summary>
    /// <param name="filter">Which.</param>
    /// <param name="question">The same as a question to the HTTP interface.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<JumpGroup> ReadAsync(JumpFilter filter, string question, CancellationToken stop)
    {
        var jumps = new List<ReportedJump>();
        var part = filter with { Limit = Page };
        while (true)
        {
            var page = await store.Jumps.PageAsync(part, stop);
            jumps.AddRange(page.Jumps.Select(row => new ReportedJump(row, new(row.Record!))));
            if (page.Next is null)
            {
                return new("/api/v1/jumps?" + question, jumps);
            }

            part = part with { After = page.Next };
        }
    }

    /// <summary>Plans of an athlete, by day; a day may have a plan and limits after an injury.</summary>
    public async Task<ILookup<string, PlanRow>> PlansAsync(string? athlete, DateOnly first, DateOnly last, CancellationToken stop) =>
        (await store.Plans.OfDaysAsync(athlete, LoadDays.Text(first), LoadDays.Text(last), stop)).ToLookup(plan => plan.Athlete, StringComparer.Ordinal);

    /// <summary>The question for the load of an athlete.</summary>
    public static string LoadAddress(string athlete, DateOnly day) => string.Create(CultureInfo.InvariantCulture, $"/api/v1/athletes/{athlete}/load?day={day:yyyy-MM-dd}");
}
