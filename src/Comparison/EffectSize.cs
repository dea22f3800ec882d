namespace Saltograph.Comparison;

/// <summary>Hedges' g: the difference in units of the scatter within the groups, corrected for small groups.</summary>
public static class EffectSize
{
    /// <summary>
    /// g = J (mean B - mean A) / pooled deviation, J = 1 - 3 / (4 df - 1), df = nA + nB - 2 (L. V. Hedges 1981, J Educ Stat
    /// 6:107-128; the closed form of J is within 0.001 of the exact one from df = 10 on). Null with fewer than two values on
    /// a side, or without any scatter.
    /// </summary>
    public static double? HedgesG(GroupStatistics a, GroupStatistics b)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        if (a.StandardDeviation is not { } sdA || b.StandardDeviation is not { } sdB)
        {
            return null;
        }

        var freedom = a.Count + b.Count - 2;
        var pooled = Math.Sqrt((((a.Count - 1) * sdA * sdA) + ((b.Count - 1) * sdB * sdB)) / freedom);
        return pooled > 0 ? (1 - (3.0 / ((4 * freedom) - 1))) * (b.Mean - a.Mean) / pooled : null;
    }
}
