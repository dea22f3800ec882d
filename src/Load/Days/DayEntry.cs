namespace Saltograph.Load;

/// <summary>What is known of a day. A day without data is not a day without load.</summary>
public enum DayState
{
    /// <summary>Nothing is known: it neither raises nor lowers a curve.</summary>
    NoData,

    /// <summary>Known to be free of load: 0.</summary>
    Rest,

    /// <summary>Measured in part: the load was at least what is given.</summary>
    Partial,

    /// <summary>Measured as a whole.</summary>
    Data,
}

/// <summary>The load of one day, in any unit that a caller keeps to: arbitrary units of session load, jumps, a sum of heights.</summary>
public sealed record DayEntry
{
    private DayEntry(DateOnly day, DayState state, double? load) => (Day, State, Load) = (day, state, load);

    /// <summary>Day in the hall's zone.</summary>
    public DateOnly Day { get; }

    /// <summary>What is known of it.</summary>
    public DayState State { get; }

    /// <summary>Load, at least 0; 0 on a rest day, null without data, a lower bound on a partial day.</summary>
    public double? Load { get; }

    /// <summary>A day of which nothing is known.</summary>
    public static DayEntry NoData(DateOnly day) => new(day, DayState.NoData, null);

    /// <summary>A day known to be free.</summary>
    public static DayEntry Rest(DateOnly day) => new(day, DayState.Rest, 0);

    /// <summary>A day measured in part. Throws <see cref="ArgumentOutOfRangeException"/> unless the load is finite and at least 0.</summary>
    public static DayEntry Partial(DateOnly day, double load) => new(day, DayState.Partial, Checked(load));

    /// <summary>A day measured as a whole. Throws <see cref="ArgumentOutOfRangeException"/> unless the load is finite and at least 0.</summary>
    public static DayEntry Data(DateOnly day, double load) => new(day, DayState.Data, Checked(load));

    private static double Checked(double load) => load >= 0 && double.IsFinite(load)
        ? load
        : throw new ArgumentOutOfRangeException(nameof(load), $"load is {FaultList.Text(load)}; allowed: a finite number from 0.");
}

/// <summary>Days in a row, without holes and doubles.</summary>
internal static class DayRow
{
    public static List<DayEntry> Of(IEnumerable<DayEntry> days)
    {
        var row = new List<DayEntry>();
        foreach (var day in days.OrderBy(day => day.Day))
        {
            if (row.Count > 0 && row[^1].Day == day.Day)
            {
                throw new ArgumentException($"days holds {day.Day:yyyy-MM-dd} twice; allowed: each day once.", nameof(days));
            }

            while (row.Count > 0 && row[^1].Day.AddDays(1) < day.Day)
            {
                row.Add(DayEntry.NoData(row[^1].Day.AddDays(1)));
            }

            row.Add(day);
        }

        return row;
    }
}
