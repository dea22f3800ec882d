namespace Saltograph.Load;

/// <summary>A day on the two curves. Loads are in the unit of the entries.</summary>
/// <param name="Entry">The day itself.</param>
/// <param name="Acute">Exponentially weighted mean over 7 days; null before the first known day.</param>
/// <param name="Chronic">Over 28 days; null until 28 days are known, because until then it mostly repeats the first day.</param>
/// <param name="KnownDays">Days known so far: rest, partial or data.</param>
/// <param name="MissingIn28">Days without data among the last 28.</param>
/// <param name="PartialIn28">Partial days among the last 28: the curves are then lower bounds.</param>
public sealed record LoadCurvePoint(DayEntry Entry, double? Acute, double? Chronic, int KnownDays, int MissingIn28, int PartialIn28);

/// <summary>
/// Acute and chronic load as exponentially weighted means, lambda = 2 / (N + 1) with N of 7 and 28 days, started with the first known day
/// (Williams, West, Cross and Stokes 2017).
/// </summary>
/// <remarks>
/// A day without data weighs nothing: it takes weight from all earlier days alike and gives none, so the curve stays, and the next known day counts the more
/// (the idea of weights by elapsed days: Moussa and others 2019). Without such days this is exactly the published recursion. Both curves stay between the
/// smallest and the largest load of a known day.
/// </remarks>
public static class LoadCurve
{
    /// <summary>Days of the acute curve.</summary>
    public const int AcuteDays = 7;

    /// <summary>Days of the chronic curve, and known days before it is shown. The first day's weight is then under 15 per cent.</summary>
    public const int ChronicDays = 28;

    /// <summary>Share of the newest day in a curve over so many days: 2 / (N + 1).</summary>
    public static double NewestDayShare(int days) => days >= 1
        ? 2.0 / (days + 1)
        : throw new ArgumentOutOfRangeException(nameof(days), $"days is {days}; allowed: from 1.");

    /// <summary>Both curves, one point a day from the first entry to the last. Days that are missing between count as no data.</summary>
    /// <param name="days">Entries in any order, each day once.</param>
    /// <exception cref="ArgumentException">A day occurs twice.</exception>
    public static IReadOnlyList<LoadCurvePoint> Of(IEnumerable<DayEntry> days)
    {
        ArgumentNullException.ThrowIfNull(days);
        var row = DayRow.Of(days);
        var acute = new WeightedMean(NewestDayShare(AcuteDays));
        var chronic = new WeightedMean(NewestDayShare(ChronicDays));
        var points = new List<LoadCurvePoint>(row.Count);
        int known = 0, missing = 0, partial = 0;
        for (var i = 0; i < row.Count; i++)
        {
            acute.Take(row[i].Load);
            chronic.Take(row[i].Load);
            known += row[i].Load is null ? 0 : 1;
            missing += row[i].State == DayState.NoData ? 1 : 0;
            partial += row[i].State == DayState.Partial ? 1 : 0;
            if (i >= ChronicDays)
            {
                missing -= row[i - ChronicDays].State == DayState.NoData ? 1 : 0;
                partial -= row[i - ChronicDays].State == DayState.Partial ? 1 : 0;
            }

            points.Add(new(row[i], acute.Value, known >= ChronicDays ? chronic.Value : null, known, missing, partial));
        }

        return points;
    }

    /// <summary>m += k (x - m) with k = lambda / (lambda + (1 - lambda) w), w the weight that the past still has.</summary>
    private sealed class WeightedMean(double share)
    {
        private double _pastWeight;

        public double? Value { get; private set; }

        public void Take(double? load)
        {
            if (Value is not { } mean)
            {
                Value = load;
                _pastWeight = 1;
                return;
            }

            _pastWeight *= 1 - share;
            if (load is { } known)
            {
                _pastWeight += share;
                Value = mean + (share / _pastWeight * (known - mean));
            }
        }
    }
}
