using System.Data.Common;
using System.Text.Json;
using Saltograph.Board.Live;
using Saltograph.Board.Records;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Screens;

/// <summary>
/// Tells the floor what the store knows: at the start today's counts and the last hour, so that screens come back as they were; then, every two seconds,
/// plans and open warnings, which staff change by other ways.
/// </summary>
internal sealed class FloorRecords(HallStore store, LiveFloor floor, HallDays days, TimeProvider time, ILogger<FloorRecords> log) : BackgroundService
{
    private const int MostJumps = 2000;
    private static readonly TimeSpan Hour = TimeSpan.FromHours(1);
    private static readonly TimeSpan Interval = TimeSpan.FromSeconds(2);

    private readonly HashSet<string> _told = new(StringComparer.Ordinal);

    /// <inheritdoc/>
    public override async Task StartAsync(CancellationToken cancellationToken)
    {
        await RecallAsync(cancellationToken);
        _told.UnionWith((await store.Warnings.ActiveAsync(stop: cancellationToken)).Select(warning => warning.Id)); // known before: shown, not announced
        await RefreshAsync(cancellationToken);
        await base.StartAsync(cancellationToken);
    }

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Interval, time);
        try
        {
            while (await timer.WaitForNextTickAsync(stoppingToken))
            {
                await TryRefreshAsync(stoppingToken);
            }
        }
        catch (OperationCanceledException)
        {
            // The service stops.
        }
    }

    private async Task TryRefreshAsync(CancellationToken stop)
    {
        try
        {
            await RefreshAsync(stop);
        }
        catch (DbException problem)
        {
            log.FloorNotRefreshed(problem); // the screens keep what they know
        }
    }

    private static string Text(WarningRow warning)
    {
        using var detail = JsonDocument.Parse(warning.Detail);
        return detail.RootElement.TryGetProperty("text", out var text) ? text.GetString() ?? warning.Rule : warning.Rule;
    }

    private async Task RecallAsync(CancellationToken stop)
    {
        var now = time.GetUtcNow();
        var today = days.Of(HallClock.Of(now));
        foreach (var load in await store.Load.DaysAsync(null, today, today, stop))
        {
            floor.Counted(load.Athlete, FloorSink.Count(DayTotals.Of(load)));
            var last = await store.Jumps.PageAsync(new() { Athlete = load.Athlete, NewestFirst = true, Limit = 1 }, stop);
            var hour = await store.Jumps.PageAsync(
                new() { Athlete = load.Athlete, FromUs = HallClock.Of(now - Hour).Microseconds, NewestFirst = true, Limit = MostJumps }, stop);
            foreach (var jump in hour.Jumps.Count > 0 ? hour.Jumps.Reverse() : last.Jumps)
            {
                floor.Jumped(load.Athlete, jump.Id, new JumpSheet(jump.Record!));
                FloorSink.Classify(floor, load.Athlete, jump.Id, jump.LandingClass);
            }
        }
    }

    private async Task RefreshAsync(CancellationToken stop)
    {
        var today = days.Of(HallClock.Now(time));
        var plans = (await store.Plans.OfDaysAsync(null, today, today, stop)).Where(plan => plan.Kind == PlanRow.PlanKind).ToDictionary(plan => plan.Athlete, StringComparer.Ordinal);
        var warnings = (await store.Warnings.ActiveAsync(stop: stop)).Where(warning => warning.State is not ("shelved" or "out-of-service")).ToArray();
        foreach (var athlete in floor.Athletes)
        {
            floor.Planned(athlete, plans.TryGetValue(athlete, out var plan) ? DayPlan.Read(plan.Limits) : null);
            floor.Warned(athlete, [.. warnings.Where(warning => warning.Athlete == athlete).OrderBy(Rank).Select(warning => new OpenWarning(warning.Id, warning.Priority, Text(warning)))]);
        }

        foreach (var fresh in warnings.Where(warning => _told.Add(warning.Id)))
        {
            floor.Announce(fresh.Athlete, $"{fresh.Athlete}: {Text(fresh)}");
        }
    }

    private static int Rank(WarningRow warning) => warning.Priority switch { "high" => 0, "medium" => 1, _ => 2 };
}
