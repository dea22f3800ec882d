namespace Saltograph.Load;

/// <summary>Order statistics.</summary>
internal static class Robust
{
    /// <summary>Makes the median absolute deviation of a normal distribution its standard deviation: 1 / quantile(0.75).</summary>
    public const double NormalFactor = 1.4826;

    /// <summary>Standard errors that a change must exceed when it is looked at after every landing: with 80 looks, three are passed by scatter once in a few sessions.</summary>
    public const double Looks = 4;

    /// <summary>Standard error of the median of normal values: sqrt(pi / 2) sigma / sqrt(n), for many values.</summary>
    public static double MedianError(double deviation, int count) => Math.Sqrt(Math.PI / 2) * deviation / Math.Sqrt(count);

    /// <summary>Robust deviation about a trend: from successive differences, whose spread is sqrt(2) larger and free of the trend. Two values at least.</summary>
    public static double Scatter(double[] values)
    {
        var steps = values.Zip(values.Skip(1), (earlier, later) => later - earlier).ToArray();
        return NormalFactor * DeviationFrom(Median(steps), steps) / Math.Sqrt(2);
    }

    /// <summary>
    /// By how much more deviations a bound must lie away when median and deviation come from few values, so that the next normal value passes it no more often than one of many would pass a bound of
    /// about three: 1.5 for 20 values, 1.04 for 200; for 10 values and more. Three deviations learnt from 20 values are passed by 1.06 per cent of normal values instead of 0.135. Fitted to a simulation of our own
    /// (4.50, 3.87, 3.66, 3.41, 3.26, 3.12 deviations for 20, 30, 40, 60, 100, 200 values); a test repeats it.
    /// </summary>
    public static double FewFactor(int count) => 1 + (7.5 / (count - 5));

    /// <summary>
    /// The value so many robust deviations above the median, on the logarithm: shocks are above 0 and scatter by factors, so that a rule on the plain scale calls far more than its share of them large.
    /// The values sorted and above 0, at least one.
    /// </summary>
    public static double FarAbove(double[] sorted, double deviations)
    {
        var logs = Array.ConvertAll(sorted, Math.Log);
        var middle = Quantile(logs, 0.5);
        return Math.Exp(middle + (deviations * NormalFactor * DeviationFrom(middle, logs)));
    }

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
