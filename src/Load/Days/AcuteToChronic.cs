namespace Saltograph.Load;

/// <summary>
/// The ratio of acute to chronic load, for display beside its caveat and for nothing else. No kind of rule takes it, so it can drive no warning.
/// </summary>
public static class AcuteToChronic
{
    /// <summary>What a screen must say beside the ratio.</summary>
    public const string Caveat =
        "The ratio of acute to chronic load says nothing about injury: acute load is part of chronic load, which alone correlates them at about 0.5 "
        + "(Lolli 2019; Windt and Gabbett 2019), and ratios with random denominators predict about as well (Impellizzeri 2021). No warning uses it.";

    /// <summary>The ratio of the two curves; null while the chronic one is hidden or 0.</summary>
    public static double? DisplayRatio(LoadCurvePoint point)
    {
        ArgumentNullException.ThrowIfNull(point);
        return point.Chronic > 0 ? point.Acute / point.Chronic : null;
    }

    /// <summary>
    /// Ratios of plain means, ending with the last day: the last 7 days over all 28 (coupled), and over the 21 before (uncoupled). coupled = 4 u / (3 + u).
    /// Null with fewer than 28 days, a day without data, or a denominator of 0.
    /// </summary>
    public static (double? CoupledRatio, double? UncoupledRatio) RollingForDisplay(IEnumerable<DayEntry> days)
    {
        ArgumentNullException.ThrowIfNull(days);
        var last = DayRow.Of(days).TakeLast(28).ToList();
        if (last.Count < 28 || last.Exists(day => day.Load is null))
        {
            return (null, null);
        }

        var acute = last.Skip(21).Average(day => day.Load!.Value);
        var all = last.Average(day => day.Load!.Value);
        var before = last.Take(21).Average(day => day.Load!.Value);
        return (all > 0 ? acute / all : null, before > 0 ? acute / before : null);
    }
}
