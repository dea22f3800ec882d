namespace Saltograph.Load;

/// <summary>Robust slope: the median of the slopes of all pairs (Theil 1950; Sen, J Am Stat Assoc 1968, 63:1379-1389). 29 per cent of the points may be wild.</summary>
public static class TheilSen
{
    /// <summary>The slope, unit of y over unit of x; null with fewer than two different x. Pairs of equal x are left out.</summary>
    /// <exception cref="ArgumentException">Lists of different length.</exception>
    public static double? Slope(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        ArgumentNullException.ThrowIfNull(x);
        ArgumentNullException.ThrowIfNull(y);
        if (x.Count != y.Count)
        {
            throw new ArgumentException($"y has {y.Count} values; allowed: {x.Count}, as many as x.", nameof(y));
        }

        var slopes = new List<double>(x.Count * (x.Count - 1) / 2);
        for (var i = 0; i < x.Count; i++)
        {
            for (var j = i + 1; j < x.Count; j++)
            {
                if (x[i] != x[j])
                {
                    slopes.Add((y[j] - y[i]) / (x[j] - x[i]));
                }
            }
        }

        return slopes.Count == 0 ? null : Robust.Median(slopes);
    }
}
