namespace Saltograph.Comparison;

/// <summary>One measure over a group of jumps.</summary>
/// <param name="Count">Jumps in which it was measured.</param>
/// <param name="Missing">Jumps in which it was not; they take no part.</param>
/// <param name="Mean">Arithmetic mean.</param>
/// <param name="StandardDeviation">With n - 1; null for one jump.</param>
/// <param name="Median">Middle value, or the mean of the middle two.</param>
/// <param name="AtLeast">How many of the values are lower bounds; then mean and largest value are lower bounds too.</param>
/// <param name="MeanUncertainty">Standard uncertainty of the mean from what the records state, as if independent; null when a record states none.</param>
public sealed record GroupStatistics(
    int Count, int Missing, double Mean, double? StandardDeviation, double Median, int AtLeast, double? MeanUncertainty)
{
    /// <summary>The statistics of some values; null when there are none.</summary>
    /// <param name="values">Measured ones.</param>
    /// <param name="missing">How many jumps have none.</param>
    public static GroupStatistics? Of(IReadOnlyCollection<MeasuredValue> values, int missing = 0)
    {
        ArgumentNullException.ThrowIfNull(values);
        if (values.Count == 0)
        {
            return null;
        }

        var sorted = values.Select(value => value.Amount).Order().ToArray();
        var n = sorted.Length;
        var mean = sorted.Average();
        double? deviation = n < 2 ? null : Math.Sqrt(sorted.Sum(value => (value - mean) * (value - mean)) / (n - 1));
        var median = (sorted[(n - 1) / 2] + sorted[n / 2]) / 2;
        double? uncertainty = values.All(value => value.StandardUncertainty is not null)
            ? Math.Sqrt(values.Sum(value => value.StandardUncertainty!.Value * value.StandardUncertainty.Value)) / n
            : null;
        return new(n, missing, mean, deviation, median, values.Count(value => value.IsAtLeast), uncertainty);
    }
}
