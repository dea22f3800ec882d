namespace Saltograph.Load;

/// <summary>Seven days: sum, change, and Foster's monotony and strain (1998; 2001). Loads are in the unit of the entries.</summary>
/// <remarks>
/// Monotony = mean / standard deviation of the seven daily loads, rest days as 0; strain = sum times monotony. Users differ in the standard deviation, so both are
/// given and named: over n, and over n - 1. All of it is null when a day has no data; monotony and strain also when all days are alike.
/// </remarks>
public sealed record WeekLoad
{
    private const int Days = 7;

    /// <summary>Last day of the week.</summary>
    public required DateOnly LastDay { get; init; }

    /// <summary>Days of the week without data.</summary>
    public required int MissingDays { get; init; }

    /// <summary>Days measured in part: sum and mean are then lower bounds, monotony and strain unsure.</summary>
    public required int PartialDays { get; init; }

    /// <summary>Sum of the week.</summary>
    public double? Sum { get; init; }

    /// <summary>Sum of the week before; null when one of its days has no data.</summary>
    public double? SumBefore { get; init; }

    /// <summary>Partial days of the week before.</summary>
    public int PartialDaysBefore { get; init; }

    /// <summary>Sum minus sum before.</summary>
    public double? Change => Sum - SumBefore;

    /// <summary>The change in per cent of the week before; null when that was 0.</summary>
    public double? ChangePercent => SumBefore > 0 ? 100 * Change / SumBefore : null;

    /// <summary>Mean of a day.</summary>
    public double? Mean => Sum / Days;

    /// <summary>Standard deviation of the days over n = 7.</summary>
    public double? DeviationOverN { get; init; }

    /// <summary>Standard deviation of the days over n - 1 = 6.</summary>
    public double? DeviationOverNMinus1 { get; init; }

    /// <summary>Monotony with the deviation over n.</summary>
    public double? MonotonyOverN => DeviationOverN > 0 ? Mean / DeviationOverN : null;

    /// <summary>Monotony with the deviation over n - 1.</summary>
    public double? MonotonyOverNMinus1 => DeviationOverNMinus1 > 0 ? Mean / DeviationOverNMinus1 : null;

    /// <summary>Strain with the deviation over n.</summary>
    public double? StrainOverN => Sum * MonotonyOverN;

    /// <summary>Strain with the deviation over n - 1.</summary>
    public double? StrainOverNMinus1 => Sum * MonotonyOverNMinus1;

    /// <summary>The seven days that end with a day. Days without an entry count as no data.</summary>
    /// <exception cref="ArgumentException">A day occurs twice.</exception>
    public static WeekLoad Of(IEnumerable<DayEntry> days, DateOnly lastDay)
    {
        ArgumentNullException.ThrowIfNull(days);
        var byDay = DayRow.Of(days).ToDictionary(day => day.Day);
        var week = Week(byDay, lastDay);
        var before = Week(byDay, lastDay.AddDays(-Days));
        var loads = Loads(week);
        var squares = loads is null ? null : (double?)loads.Sum(load => Math.Pow(load - loads.Average(), 2));
        return new()
        {
            LastDay = lastDay,
            MissingDays = week.Count(day => day.State == DayState.NoData),
            PartialDays = week.Count(day => day.State == DayState.Partial),
            PartialDaysBefore = before.Count(day => day.State == DayState.Partial),
            Sum = loads?.Sum(),
            SumBefore = Loads(before)?.Sum(),
            DeviationOverN = squares is { } n ? Math.Sqrt(n / Days) : null,
            DeviationOverNMinus1 = squares is { } less ? Math.Sqrt(less / (Days - 1)) : null,
        };
    }

    private static List<DayEntry> Week(Dictionary<DateOnly, DayEntry> byDay, DateOnly lastDay) =>
        [.. Enumerable.Range(0, Days).Select(back => lastDay.AddDays(back - Days + 1)).Select(day => byDay.GetValueOrDefault(day) ?? DayEntry.NoData(day))];

    private static double[]? Loads(List<DayEntry> week) => week.Exists(day => day.Load is null) ? null : [.. week.Select(day => day.Load!.Value)];
}
