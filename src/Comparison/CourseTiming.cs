namespace Saltograph.Comparison;

/// <summary>When the legs open in a jump, from the course of its split angle: values that the record does not have.</summary>
public static class CourseTiming
{
    /// <summary>Key of the time at which the legs are half open, s about take-off: below 0 before it.</summary>
    public const string LegsOpenKey = "course.legsOpenS";

    /// <summary>Key of the time at which the legs are widest, s about the middle of the flight: below 0 before it.</summary>
    public const string LegsWidestKey = "course.legsWidestS";

    private const double HalfShare = 0.5;

    /// <summary>The values by key; a key is missing when it was not measured or its instant lies outside the course.</summary>
    /// <param name="timeS">Time of each node about take-off, s; never falls.</param>
    /// <param name="splitAngleDeg">Split angle at each node, deg; null when it was not measured.</param>
    /// <param name="flightTimeS">Flight time, s.</param>
    /// <param name="takeoffUncertaintyS">Standard uncertainty of take-off, s; null when it is not known, and then none is stated.</param>
    /// <remarks>
    /// The legs open where the angle last rises through half of its largest value before it gets there, between nodes on a straight line. Half, as for rise times of pulses: the beginning
    /// and the end of the opening are flat, and small errors of the angle move them far. The uncertainty is that of take-off and of a node's width (uniform, width over sqrt(12)).
    /// </remarks>
    /// <exception cref="ArgumentException">Lists of different length.</exception>
    public static IReadOnlyDictionary<string, MeasuredValue> Of(IReadOnlyList<double> timeS, IReadOnlyList<double>? splitAngleDeg, double flightTimeS, double? takeoffUncertaintyS)
    {
        ArgumentNullException.ThrowIfNull(timeS);
        var values = new Dictionary<string, MeasuredValue>(StringComparer.Ordinal);
        if (splitAngleDeg is null)
        {
            return values;
        }

        if (splitAngleDeg.Count != timeS.Count)
        {
            throw new ArgumentException($"The split angle has {splitAngleDeg.Count} values; allowed: {timeS.Count}, as many as the time.", nameof(splitAngleDeg));
        }

        var widest = 0;
        for (var node = 1; node < splitAngleDeg.Count; node++)
        {
            widest = splitAngleDeg[node] > splitAngleDeg[widest] ? node : widest;
        }

        var inside = widest > 0 && widest < timeS.Count - 1 && splitAngleDeg[widest] > 0;
        if (inside)
        {
            values.Add(LegsWidestKey, new(timeS[widest] - (flightTimeS / 2), Uncertainty(takeoffUncertaintyS, timeS[widest + 1] - timeS[widest - 1])));
        }

        var half = HalfShare * splitAngleDeg[widest];
        for (var node = widest; inside && node > 0; node--)
        {
            if (splitAngleDeg[node - 1] < half)
            {
                var share = (half - splitAngleDeg[node - 1]) / (splitAngleDeg[node] - splitAngleDeg[node - 1]);
                var stepS = timeS[node] - timeS[node - 1];
                values.Add(LegsOpenKey, new(timeS[node - 1] + (share * stepS), Uncertainty(takeoffUncertaintyS, stepS)));
                break;
            }
        }

        return values;
    }

    private static double? Uncertainty(double? takeoffS, double widthS) => takeoffS is { } known ? Math.Sqrt((known * known) + (widthS * widthS / 12)) : null;
}
