using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Warnings;
using Saltograph.Store;

namespace Saltograph.Service.Durability;

/// <summary>What the service must remember when it starts: the totals of today and what landings are compared with.</summary>
internal sealed class History(HallStore store, DayLedger ledger, LandingClasses classes, HallDays days, TimeProvider time)
{
    /// <summary>Takes it from the store.</summary>
    public async Task RecallAsync(CancellationToken stop)
    {
        await classes.RecallAsync(store, HallClock.Now(time).PlusSeconds(86_400).Microseconds, stop);
        var today = days.Of(HallClock.Now(time));
        foreach (var load in await store.Load.DaysAsync(null, today, today, stop))
        {
            ledger.Set(new(load.Athlete), DayTotals.Of(load));
        }
    }
}
