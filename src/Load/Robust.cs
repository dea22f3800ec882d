namespace Saltograph.Load;

/// <summary>Order statistics.</summary>
internal static class Robust
{
    /// <summary>Makes the median absolute deviation of a normal distribution its standard deviation: 1 / quantile(0.75).</summary>
    public const double NormalFactor = 1.4826;

    public static double[] Sorted(IEnumerable<double> values)
    {
        var sorted = values.ToArray();
        Array.Sort(sorted);
        return sorted;
    }

    public static double Median(IEnumerable<double> values) => Quantile(Sorted(values), 0.5);

    /// <summary>Linear between order statistics (type 7 of Hyndman and Fan 1996); at least one value.</summary>
    public static double Quantile(double[] sorted, double probability)
    {
        var place = probability * (sorted.Length - 1);
        var below = (int)Math.Floor(place);
        var above = Math.Min(below + 1, sorted.Length - 1);
        return sorted[below] + ((place - below) * (sorted[above] - sorted[below]));
    }

    public static double DeviationFrom(double median, IEnumerable<double> values) =>
        Median(values.Select(value => Math.Abs(value - median)));
}
