using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>How well a measure repeats from one training to the next, from the hall's own trainings. Values in the unit of the measure; the coefficient without unit.</summary>
/// <param name="Pairs">Pairs of trainings that follow each other.</param>
/// <param name="Mean">Mean of all values in the pairs.</param>
/// <param name="Deviation">Standard deviation between all that was repeated: athletes and elements.</param>
/// <param name="StandardError">Standard error of measurement: standard deviation of the differences over sqrt(2) (typical error, Hopkins, Sports Med 2000, 30:1-15). What all change alike takes no part.</param>
/// <param name="IntraclassCorrelation">1 - (StandardError / Deviation)^2, which for pairs is ICC(3,1) of Shrout and Fleiss, Psychol Bull 1979, 86:420-428; below 0 it is 0; null when nothing differs. It is of this squad: of equal athletes it is small, however good the measure.</param>
/// <param name="MinimalDetectableChange">1.96 sqrt(2) StandardError.</param>
public sealed record Repeatability(int Pairs, double Mean, double Deviation, double StandardError, double? IntraclassCorrelation, double MinimalDetectableChange)
{
    /// <summary>From pairs of values of the same; null with fewer than <paramref name="fewestPairs"/>.</summary>
    /// <param name="pairs">Earlier and later value, finite.</param>
    /// <param name="fewestPairs">Fewest pairs, at least 3; default 10: the error is then known to about a quarter (1 / sqrt(2 (n - 1))).</param>
    public static Repeatability? Of(IReadOnlyCollection<(double Earlier, double Later)> pairs, int fewestPairs = 10)
    {
        ArgumentNullException.ThrowIfNull(pairs);
        ArgumentOutOfRangeException.ThrowIfLessThan(fewestPairs, 3);
        if (pairs.Count < fewestPairs)
        {
            return null;
        }

        var error = Math.Sqrt(Variance(pairs.Select(pair => pair.Later - pair.Earlier)) / 2);
        var spread = (Variance(pairs.Select(pair => pair.Earlier)) + Variance(pairs.Select(pair => pair.Later))) / 2;
        return new(
            pairs.Count,
            pairs.Average(pair => (pair.Earlier + pair.Later) / 2),
            Math.Sqrt(spread),
            error,
            spread > 0 ? Math.Max(0, 1 - (error * error / spread)) : null,
            Reliability.MinimalDetectableChange(error));
    }

    /// <summary>Medians of the same element of the same athlete in trainings that follow each other within <paramref name="longestPauseS"/>: over a longer time she may really have changed.</summary>
    /// <param name="trainings">Jumps of each training of each athlete, in any order.</param>
    /// <param name="measure">Which measure. Saturated shocks are left out.</param>
    /// <param name="fewestJumps">Fewest jumps of an element in a training for its median to count, at least 1; default 5.</param>
    /// <param name="longestPauseS">Longest time from first landing to first landing, s; default a week.</param>
    public static IReadOnlyList<(double Earlier, double Later)> PairsOf(
        IEnumerable<IReadOnlyCollection<CountedJump>> trainings, ChangeMeasure measure, int fewestJumps = 5, double longestPauseS = 7 * 86_400)
    {
        ArgumentNullException.ThrowIfNull(trainings);
        ArgumentOutOfRangeException.ThrowIfLessThan(fewestJumps, 1);
        var medians =
            from training in trainings
            where training.Count > 0
            let begins = training.Min(jump => jump.LandingTime)
            from element in training.GroupBy(jump => (jump.Athlete, jump.Element))
            let values = element.Select(jump => SessionChange.Value(jump, measure)).OfType<double>().ToArray()
            where values.Length >= fewestJumps
            select (element.Key, Begins: begins, Median: Robust.Median(values));
        return [.. medians.GroupBy(median => median.Key).SelectMany(same =>
        {
            var ordered = same.OrderBy(median => median.Begins).ToList();
            return ordered.Zip(ordered.Skip(1)).Where(pair => pair.Second.Begins - pair.First.Begins <= longestPauseS).Select(pair => (pair.First.Median, pair.Second.Median));
        })];
    }

    private static double Variance(IEnumerable<double> values)
    {
        var all = values.ToArray();
        var mean = all.Average();
        return all.Sum(value => (value - mean) * (value - mean)) / (all.Length - 1);
    }
}
