using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Store;

namespace Saltograph.Service.Durability;

/// <summary>What the service must remember when it starts: the totals of today and the latest jumps.</summary>
internal sealed class History(HallStore store, DayLedger ledger, LatestJumps latest, HallDays days, LimitOptions limits, TimeProvider time)
{
    /// <summary>Takes it from the store.</summary>
    public async Task RecallAsync(CancellationToken stop)
    {
        var today = days.Of(HallClock.Now(time));
        foreach (var load in await store.Load.DaysAsync(null, today, today, stop))
        {
            ledger.Set(new(load.Athlete), DayTotals.Of(load));
        }

        var page = await store.Jumps.PageAsync(new() { NewestFirst = true, Limit = limits.LatestJumps }, stop);
        foreach (var jump in page.Jumps.Reverse())
        {
            latest.Add(jump.Record!);
        }
    }
}
