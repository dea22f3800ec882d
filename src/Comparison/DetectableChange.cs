namespace Saltograph.Comparison;

/// <summary>How large a difference must be before it is more than the scatter of one and the same jump.</summary>
/// <remarks>
/// The standard error of measurement SEM is the scatter of repeated values of the same athlete; two single values differ
/// by less than 1.96 sqrt(2) SEM in 95 of 100 cases (J. M. Bland, D. G. Altman 1986, Lancet 327:307-310, repeatability; J. P. Weir
/// 2005, J Strength Cond Res 19:231-240, from memory). Means of nA and nB values differ less, by 1.96 SEM sqrt(1/nA + 1/nB), the same for one value each.
/// </remarks>
public static class DetectableChange
{
    private const double Z95 = 1.959963984540054;

    /// <summary>SEM from the scatter between persons and the reliability.</summary>
    /// <param name="standardDeviation">Between persons.</param>
    /// <param name="reliabilityRatio">Intraclass correlation, 0 to 1.</param>
    public static double StandardErrorOfMeasurement(double standardDeviation, double reliabilityRatio) => reliabilityRatio is >= 0 and <= 1
        ? standardDeviation * Math.Sqrt(1 - reliabilityRatio)
        : throw new ArgumentOutOfRangeException(nameof(reliabilityRatio), FormattableString.Invariant($"The reliability is {reliabilityRatio}; allowed: 0 to 1."));

    /// <summary>SEM from repeated values: the scatter within each athlete, pooled; null when no athlete has two values.</summary>
    /// <param name="repeated">The values of each athlete in each group.</param>
    public static double? WithinAthletes(IEnumerable<IReadOnlyCollection<double>> repeated)
    {
        ArgumentNullException.ThrowIfNull(repeated);
        var (squares, freedom) = (0.0, 0);
        foreach (var values in repeated.Where(values => values.Count >= 2))
        {
            var mean = values.Average();
            squares += values.Sum(value => (value - mean) * (value - mean));
            freedom += values.Count - 1;
        }

        return freedom > 0 ? Math.Sqrt(squares / freedom) : null;
    }

    /// <summary>The smallest difference of two means that is more than scatter, 95 per cent.</summary>
    /// <param name="standardError">SEM, in the unit of the measure.</param>
    /// <param name="countA">Values in the first mean, 1 or more.</param>
    /// <param name="countB">Values in the second mean, 1 or more.</param>
    public static double Of(double standardError, int countA = 1, int countB = 1) => countA >= 1 && countB >= 1
        ? Z95 * standardError * Math.Sqrt((1.0 / countA) + (1.0 / countB))
        : throw new ArgumentOutOfRangeException(nameof(countA), FormattableString.Invariant($"The counts are {countA} and {countB}; allowed: 1 or more."));
}
