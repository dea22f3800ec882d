using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Facts;
using Saltograph.Service.Verbs;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Queries;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Api;

/// <summary>Works load out from what is stored.</summary>
internal sealed class LoadAnswers(HallView store, HallDays days)
{
    // The first day of so long a history still weighs (1 - 2/29)^364, nothing.
    private const int HistoryDays = 364;

    private const int Page = 10_000;

    /// <summary>Load of one athlete on a day, with what led to it; zeros and nulls when nothing is known of her.</summary>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="day">Day of the hall.</param>
    /// <param name="measure">One of <see cref="LoadDays.Measures"/>.</param>
    /// <param name="exponent">The n of the sums of shock^n, 1 to 6.</param>
    /// <param name="peakForceBw">Mean peak ground reaction force, body weights, from elsewhere; null when it is not known.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<LoadBody> OfAsync(string athlete, DateOnly day, string measure, int exponent, double? peakForceBw, CancellationToken stop)
    {
        var stored = await ReadAsync(athlete, day, stop);
        var entries = LoadDays.Of(measure, day, stored.Loads, stored.Sessions, stored.Plans, days);
        var jumps = await JumpsAsync(athlete, day.AddDays(-27), day, stop);
        var curve = LoadCurve.Of(entries);
        AccountBody Account(int length) => AccountOf(jumps, stored.Sessions, day.AddDays(1 - length), day, exponent);
        return new(
            Cautions.Line,
            athlete,
            measure,
            Account(1),
            Account(7),
            Account(28),
            WeekLoad.Of(entries, day),
            [.. curve.TakeLast(28).Select(Point)],
            new(curve.Count > 0 ? AcuteToChronic.DisplayRatio(curve[^1]) : null, AcuteToChronic.Caveat),
            Bone(jumps, stored.Sessions, day, peakForceBw));
    }

    /// <summary>Load of all athletes on a day.</summary>
    public async Task<SquadBody> SquadAsync(DateOnly day, string measure, CancellationToken stop)
    {
        var stored = await ReadAsync(null, day, stop);
        var loads = stored.Loads.ToLookup(load => load.Athlete, StringComparer.Ordinal);
        var sessions = stored.Sessions.ToLookup(session => session.Athlete, StringComparer.Ordinal);
        var plans = stored.Plans.ToLookup(plan => plan.Athlete, StringComparer.Ordinal);
        return new(Cautions.Line, LoadDays.Text(day), measure, [.. (await store.Sessions.AthletesAsync(stop)).Select(athlete =>
        {
            var entries = LoadDays.Of(measure, day, loads[athlete], sessions[athlete], plans[athlete], days);
            long Since(int length) => loads[athlete].Where(load => LoadDays.Day(load.Day) > day.AddDays(-length)).Sum(load => load.Jumps);
            return new SquadLineBody(
                athlete, Since(1), Since(7), Since(28), WeekLoad.Of(entries, day), LoadCurve.Of(entries) is [.., var last] ? Point(last) : null);
        })]);
    }

    private static CurveDayBody Point(LoadCurvePoint point) => new(
        point.Entry.Day, point.Entry.State, point.Entry.Load, point.Acute, point.Chronic, point.KnownDays, point.MissingIn28, point.PartialIn28);

    private AccountBody AccountOf(IEnumerable<CountedJump> jumps, IEnumerable<SessionRow> sessions, DateOnly from, DateOnly to, int exponent)
    {
        var options = new AccountOptions { ShockExponent = exponent };
        var account = Accounting.Of(jumps.Where(jump => DayOf(jump.LandingTime) >= from), options) is [var found] ? found : null;
        var entered = sessions.Where(session => DayOf(new(session.OpenedUs)) >= from).Select(LoadDays.LoadAu).OfType<double>().ToArray();
        return new(
            LoadDays.Text(from),
            LoadDays.Text(to),
            account?.Jumps ?? 0,
            account?.Takeoffs ?? default,
            account?.Landings ?? default,
            account?.Forms ?? [],
            account?.HeightBands ?? [],
            account?.HeightSumM ?? 0,
            account?.ShockBands ?? [],
            account?.ShockUnmeasured ?? 0,
            account?.ShockSums ?? [],
            account?.MostInOneMinute ?? 0,
            entered.Length > 0 ? entered.Sum() : null);
    }

    private OsteogenicBody Bone(IReadOnlyList<CountedJump> jumps, IReadOnlyList<SessionRow> sessions, DateOnly day, double? peakForceBw)
    {
        if (peakForceBw is not { } forceBw)
        {
            return new(null, null, null, OsteogenicIndex.Caveat);
        }

        double DayBw(DateOnly of)
        {
            var landed = jumps.Where(jump => DayOf(jump.LandingTime) == of).ToList();
            return OsteogenicIndex.DayBw(sessions
                .Select(session => (session, Count: landed.Count(jump => jump.LandingTime.Microseconds >= session.OpenedUs && !(jump.LandingTime.Microseconds > session.ClosedUs))))
                .Where(item => item.Count > 0)
                .Select(item => new OsteogenicSession(new(item.session.OpenedUs), forceBw, item.Count)));
        }

        return new(forceBw, DayBw(day), Enumerable.Range(0, 7).Sum(back => DayBw(day.AddDays(-back))), OsteogenicIndex.Caveat);
    }

    private DateOnly DayOf(SampleTime hall) => LoadDays.Day(days.Of(hall));

    private async Task<(IReadOnlyList<DayLoad> Loads, IReadOnlyList<SessionRow> Sessions, IReadOnlyList<PlanRow> Plans)> ReadAsync(string? athlete, DateOnly day, CancellationToken stop)
    {
        var (first, last) = (LoadDays.Text(day.AddDays(-HistoryDays)), LoadDays.Text(day));
        var sessions = await store.Sessions.OverlappingAsync(athlete, days.Bounds(first).From.Microseconds, days.Bounds(last).To.Microseconds, stop);
        return (
            await store.Load.DaysAsync(athlete, first, last, stop),
            [.. sessions.Where(session => DayOf(new(session.OpenedUs)) >= day.AddDays(-HistoryDays))],
            await store.Plans.OfDaysAsync(athlete, first, last, stop));
    }

    private async Task<IReadOnlyList<CountedJump>> JumpsAsync(string athlete, DateOnly from, DateOnly to, CancellationToken stop)
    {
        var jumps = new List<CountedJump>();
        string? place = null;
        do
        {
            var page = await store.Jumps.PageAsync(
                new()
                {
                    Athlete = athlete,
                    FromUs = days.Bounds(LoadDays.Text(from)).From.Microseconds,
                    BeforeUs = days.Bounds(LoadDays.Text(to)).To.Microseconds,
                    After = place,
                    Limit = Page,
                    Records = JumpRecords.OfSaturated,
                },
                stop);
            jumps.AddRange(page.Jumps.Select(CountedJumps.Of));
            place = page.Next;
        }
        while (place is not null);
        return jumps;
    }
}
