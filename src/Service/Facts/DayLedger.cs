using System.Collections.Concurrent;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Facts;

/// <summary>The running totals of today for every athlete. Kept in memory: a restart begins at zero.</summary>
internal sealed class DayLedger(TimeZoneInfo zone)
{
    private readonly ConcurrentDictionary<AthleteId, DayTotals> _totals = new();

    /// <summary>The totals of an athlete; null before the first jump.</summary>
    public DayTotals? Of(AthleteId athlete) => _totals.GetValueOrDefault(athlete);

    /// <summary>Adds a jump to the day on which it landed, in the hall's zone; a new day begins at zero, and a jump of an earlier day changes nothing.</summary>
    public DayTotals Add(AthleteId athlete, JumpRecord jump)
    {
        var day = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(HallClock.ToDateTime(jump.LandingTime), zone).DateTime);
        return _totals.AddOrUpdate(
            athlete,
            _ => DayTotals.None(day).Plus(jump),
            (_, before) => day < before.Day ? before : (before.Day == day ? before : DayTotals.None(day)).Plus(jump));
    }
}
