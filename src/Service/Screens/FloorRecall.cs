using Saltograph.Board.Live;
using Saltograph.Board.Records;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Store;

namespace Saltograph.Service.Screens;

/// <summary>Tells the floor at the start what the store knows of today: the screens of before the restart come back as they were.</summary>
internal sealed class FloorRecall(HallStore store, LiveFloor floor, HallDays days, TimeProvider time) : IHostedService
{
    private const int MostJumps = 2000;
    private static readonly TimeSpan Hour = TimeSpan.FromHours(1);

    /// <inheritdoc/>
    public async Task StartAsync(CancellationToken cancellationToken)
    {
        var now = time.GetUtcNow();
        var today = days.Of(HallClock.Of(now));
        foreach (var load in await store.Load.DaysAsync(null, today, today, cancellationToken))
        {
            floor.Counted(load.Athlete, FloorSink.Count(DayTotals.Of(load)));
            var last = await store.Jumps.PageAsync(new() { Athlete = load.Athlete, NewestFirst = true, Limit = 1 }, cancellationToken);
            var hour = await store.Jumps.PageAsync(
                new() { Athlete = load.Athlete, FromUs = HallClock.Of(now - Hour).Microseconds, NewestFirst = true, Limit = MostJumps }, cancellationToken);
            foreach (var jump in hour.Jumps.Count > 0 ? hour.Jumps.Reverse() : last.Jumps)
            {
                floor.Jumped(load.Athlete, jump.Id, new JumpSheet(jump.Record!));
            }
        }
    }

    /// <inheritdoc/>
    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}
