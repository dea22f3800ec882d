using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Facts;
using Saltograph.Store;

namespace Saltograph.Service.Warnings;

/// <summary>Reads the plans and limits of the hall's day from the store, every few seconds, and tells which are new.</summary>
internal sealed class DayLimitsReader(HallStore store, HallDays days, TimeProvider time, ILogger log)
{
    private const double EveryS = 5;

    private readonly Dictionary<(string Athlete, LimitSource Source), DayLimits> _known = [];
    private string _day = "";
    private long _read;

    /// <summary>These limits count already.</summary>
    public void Know(DayLimits limits) => _known[(limits.Athlete.Value, limits.Source)] = limits;

    /// <summary>Limits of the day of an instant that differ from those that count; empty until it is time to look again.</summary>
    public async Task<IReadOnlyList<DayLimits>> ChangedAsync(SampleTime now, CancellationToken stop)
    {
        var day = days.Of(now);
        if (day == _day && time.GetElapsedTime(_read).TotalSeconds < EveryS)
        {
            return [];
        }

        var wanted = new Dictionary<(string, LimitSource), DayLimits>();
        foreach (var row in await store.Plans.OfDaysAsync(null, day, day, stop))
        {
            if (DayPlans.Read(row, days, out var limits) is { } fault)
            {
                log.PlanNotRead(row.Athlete, row.Day, fault.ToString());
            }
            else
            {
                wanted[(row.Athlete, limits!.Source)] = limits;
            }
        }

        var (from, _) = days.Bounds(day);
        foreach (var (key, limits) in _known)
        {
            if (limits.From == from && !wanted.ContainsKey(key))
            {
                wanted[key] = new(limits.Athlete, limits.Source, limits.From, limits.To); // taken away: nothing is limited
            }
        }

        (_day, _read) = (day, time.GetTimestamp());
        return [.. wanted.Where(pair => !_known.TryGetValue(pair.Key, out var known) || known != pair.Value).Select(pair => pair.Value)];
    }
}
