namespace Saltograph.Load;

/// <summary>How large a change must be to be more than the error of measurement. Values keep the unit of the measure.</summary>
public static class Reliability
{
    /// <summary>Standard error of measurement: SD x sqrt(1 - ICC).</summary>
    /// <param name="deviation">Standard deviation between persons or sessions, at least 0.</param>
    /// <param name="intraclassCorrelation">Test-retest reliability, 0 to 1.</param>
    /// <exception cref="ArgumentOutOfRangeException">What was found, what is allowed.</exception>
    public static double StandardError(double deviation, double intraclassCorrelation)
    {
        var list = new FaultList("");
        list.Number(deviation, 0, double.MaxValue, nameof(deviation));
        list.Number(intraclassCorrelation, 0, 1, nameof(intraclassCorrelation));
        return list.Faults.Count == 0
            ? deviation * Math.Sqrt(1 - intraclassCorrelation)
            : throw new ArgumentOutOfRangeException(list.Faults[0].Where, list.Faults[0].ToString());
    }

    /// <summary>Smallest change that is beyond error with 95 per cent confidence: 1.96 x sqrt(2) x SEM.</summary>
    public static double MinimalDetectableChange(double standardError) => 1.96 * Math.Sqrt(2) * standardError;
}

/// <summary>Left against right in three usual indices, per cent. Both values must be above 0.</summary>
/// <param name="LimbSymmetryPercent">Smaller over larger (LSI): 100 is alike.</param>
/// <param name="SymmetryIndexPercent">2 (R - L) / (R + L) (SI): positive when right is larger, 0 is alike.</param>
/// <param name="AsymmetryPercent">(larger - smaller) / larger (ASY): 0 is alike.</param>
public readonly record struct Symmetry(double LimbSymmetryPercent, double SymmetryIndexPercent, double AsymmetryPercent)
{
    /// <summary>The indices; null when a side is null, not above 0 or not finite.</summary>
    public static Symmetry? Of(double? left, double? right)
    {
        if (left is not { } l || right is not { } r || !(l > 0 && r > 0) || !double.IsFinite(l + r))
        {
            return null;
        }

        var (small, large) = l < r ? (l, r) : (r, l);
        return new(100 * small / large, 200 * (r - l) / (r + l), 100 * (large - small) / large);
    }

    /// <summary>
    /// Shock at the landing ankle, left landings against right, medians of one form. Null with fewer than <paramref name="leastPerLeg"/> on a side. Saturated landings
    /// count as their lower bound: a median is right as long as they are fewer than half.
    /// </summary>
    public static Symmetry? OfLandings(IEnumerable<CountedJump> jumps, ElementForm form, int leastPerLeg = 5)
    {
        ArgumentNullException.ThrowIfNull(jumps);
        var shocks = jumps.Where(jump => jump.Form == form && jump.LandingShock is not null).ToLookup(jump => jump.LandingLeg, jump => jump.LandingShock!.Value.ShockG);
        return shocks[Leg.Left].Count() < leastPerLeg || shocks[Leg.Right].Count() < leastPerLeg
            ? null
            : Of(Robust.Median(shocks[Leg.Left]), Robust.Median(shocks[Leg.Right]));
    }

    /// <summary>Standard error of the symmetry index of such landings, from their scatter, per cent; null with fewer than two on a side.</summary>
    public static double? ErrorOfLandingsPercent(IEnumerable<CountedJump> jumps, ElementForm form)
    {
        ArgumentNullException.ThrowIfNull(jumps);
        var shocks = jumps.Where(jump => jump.Form == form && jump.LandingShock is not null).ToLookup(jump => jump.LandingLeg, jump => jump.LandingShock!.Value.ShockG);
        double[] left = [.. shocks[Leg.Left]], right = [.. shocks[Leg.Right]];
        return left.Length < 2 || right.Length < 2
            ? null
            : 200 * Math.Sqrt(Math.Pow(Robust.MedianError(Robust.Scatter(left), left.Length), 2) + Math.Pow(Robust.MedianError(Robust.Scatter(right), right.Length), 2))
                / (Robust.Median(left) + Robust.Median(right));
    }
}
