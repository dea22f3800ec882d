namespace Saltograph.Load;

/// <summary>How jumps are sorted into bands and summed.</summary>
public sealed record AccountOptions
{
    /// <summary>Edges between height bands, m, rising, each above 0; default 0.1, 0.2, 0.3, 0.4. A jump at an edge belongs to the upper band.</summary>
    public IReadOnlyList<double> HeightBandEdgesM { get; init; } = [0.1, 0.2, 0.3, 0.4];

    /// <summary>Edges between bands of the landing ankle's shock, g, rising, each above 0; default 5, 10, 15, 20.</summary>
    public IReadOnlyList<double> ShockBandEdgesG { get; init; } = [5, 10, 15, 20];

    /// <summary>The n of the sums of shock^n, 1 to 6; default 1. Larger lets few hard landings outweigh many soft ones; no value is proven better.</summary>
    public int ShockExponent { get; init; } = 1;

    /// <summary>Share of her own best height above which jumps are counted apart, 0.1 to 0.95; default 0.5 (Maloney and others 2024).</summary>
    public double OwnBestShare { get; init; } = 0.5;

    /// <summary>All that is not allowed; empty when nothing.</summary>
    public IReadOnlyList<Fault> Faults()
    {
        var list = new FaultList("");
        Edges(HeightBandEdgesM, 3, nameof(HeightBandEdgesM), list);
        Edges(ShockBandEdgesG, 400, nameof(ShockBandEdgesG), list);
        list.Number(ShockExponent, 1, 6, nameof(ShockExponent));
        list.Number(OwnBestShare, 0.1, 0.95, nameof(OwnBestShare));
        return list.Faults;
    }

    /// <summary>Refuses what is not allowed.</summary>
    /// <exception cref="ArgumentException">Names each option, what was found and what is allowed.</exception>
    public void Validate()
    {
        var list = new FaultList("");
        list.AddAll(Faults());
        list.Throw();
    }

    private static void Edges(IReadOnlyList<double> edges, double largest, string key, FaultList list)
    {
        if (edges is not { Count: >= 1 and <= 20 })
        {
            list.Add(key, $"{edges?.Count ?? 0} edges", "1 to 20");
            return;
        }

        for (var i = 0; i < edges.Count; i++)
        {
            var least = i == 0 ? 0 : edges[i - 1];
            if (!(edges[i] > least && edges[i] <= largest))
            {
                list.Add($"{key}[{i}]", FaultList.Text(edges[i]), $"above {FaultList.Text(least)}, up to {FaultList.Text(largest)}");
            }
        }
    }
}
