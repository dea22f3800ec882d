using System.Collections.Concurrent;
using Saltograph.Imu;

namespace Saltograph.Service.Facts;

/// <summary>The running totals of today for every athlete, as the store has them: what screens ask for ten times per second.</summary>
internal sealed class DayLedger
{
    private readonly ConcurrentDictionary<AthleteId, DayTotals> _totals = new();

    /// <summary>The totals of an athlete; null before the first jump.</summary>
    public DayTotals? Of(AthleteId athlete) => _totals.GetValueOrDefault(athlete);

    /// <summary>Notes totals; those of an earlier day than is known already change nothing.</summary>
    public void Set(AthleteId athlete, DayTotals totals) =>
        _totals.AddOrUpdate(athlete, totals, (_, before) => totals.Day < before.Day ? before : totals);
}
