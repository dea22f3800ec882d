using MathNet.Numerics.Distributions;

namespace Saltograph.Comparison;

/// <summary>The difference of two means, B minus A, from the spread of both groups.</summary>
/// <param name="Difference">B minus A.</param>
/// <param name="StandardError">Standard uncertainty of the difference.</param>
/// <param name="DegreesOfFreedom">Of the t distribution behind the interval.</param>
/// <param name="Interval95">95 per cent interval of the difference.</param>
public sealed record MeanDifference(double Difference, double StandardError, double DegreesOfFreedom, Interval Interval95)
{
    private const double Upper = 0.975;

    /// <summary>
    /// Two groups of two jumps or more: unequal variances (B. L. Welch 1947, Biometrika 34:28-35), with the degrees of freedom of
    /// Welch and Satterthwaite. One jump against three or more: the single value against the scatter of the others
    /// (J. R. Crawford, D. C. Howell 1998, Clin Neuropsychol 12:482-486). Else null.
    /// </summary>
    public static MeanDifference? Of(GroupStatistics a, GroupStatistics b)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        if (a is { Count: >= 2, StandardDeviation: { } sdA } && b is { Count: >= 2, StandardDeviation: { } sdB })
        {
            var partA = sdA * sdA / a.Count;
            var partB = sdB * sdB / b.Count;
            var sum = partA + partB;

            // Two groups without any scatter: the quotient is 0 / 0, and the interval is a point whatever t is.
            var freedom = sum > 0
                ? sum * sum / ((partA * partA / (a.Count - 1)) + (partB * partB / (b.Count - 1)))
                : a.Count + b.Count - 2;
            return From(b.Mean - a.Mean, Math.Sqrt(sum), freedom);
        }

        var many = a.Count > b.Count ? a : b;
        return Math.Min(a.Count, b.Count) == 1 && many is { Count: >= 3, StandardDeviation: { } sd }
            ? From(b.Mean - a.Mean, sd * Math.Sqrt(1 + (1.0 / many.Count)), many.Count - 1)
            : null;
    }

    private static MeanDifference From(double difference, double standardError, double freedom)
    {
        var half = StudentT.InvCDF(0, 1, freedom, Upper) * standardError;
        return new(difference, standardError, freedom, new(difference - half, difference + half));
    }
}
