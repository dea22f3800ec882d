using MathNet.Numerics.Distributions;

namespace Saltograph.Comparison;

/// <summary>How far two methods agree that measured the same things (J. M. Bland, D. G. Altman 1986, Lancet 327:307-310).</summary>
/// <param name="Count">Pairs.</param>
/// <param name="Bias">Mean of the differences, measured minus reference.</param>
/// <param name="StandardDeviation">Of the differences, with n - 1.</param>
/// <param name="Limits">Limits of agreement: 95 per cent of differences lie inside when they are normally distributed, bias -+ 1.96 deviations.</param>
/// <param name="BiasInterval95">95 per cent interval of the bias.</param>
/// <param name="LimitHalfWidth95">Half of the 95 per cent interval of either limit, t sqrt(3 / n) deviations.</param>
public sealed record Agreement(
    int Count, double Bias, double StandardDeviation, Interval Limits, Interval BiasInterval95, double LimitHalfWidth95)
{
    private const double Z95 = 1.959963984540054;
    private const double Upper = 0.975;

    /// <summary>The agreement of two pairs or more; null with fewer.</summary>
    /// <param name="differences">Measured minus reference, finite.</param>
    public static Agreement? Of(IReadOnlyCollection<double> differences)
    {
        ArgumentNullException.ThrowIfNull(differences);
        var n = differences.Count;
        if (n < 2)
        {
            return null;
        }

        var bias = differences.Average();
        var deviation = Math.Sqrt(differences.Sum(difference => (difference - bias) * (difference - bias)) / (n - 1));
        var t = StudentT.InvCDF(0, 1, n - 1, Upper);
        var half = t * deviation / Math.Sqrt(n);
        return new(
            n,
            bias,
            deviation,
            new(bias - (Z95 * deviation), bias + (Z95 * deviation)),
            new(bias - half, bias + half),
            t * deviation * Math.Sqrt(3.0 / n));
    }
}
