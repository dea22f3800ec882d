using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>Makes accounts of jumps. The order in which jumps come, and whether one comes twice, changes no bit of them.</summary>
public static class Accounting
{
    /// <summary>One account for each athlete, in the order of the pseudonyms.</summary>
    /// <param name="jumps">Jumps in any order.</param>
    /// <param name="options">Bands and the power.</param>
    /// <param name="ownBestHeightsM">Best height of each athlete, m, for <see cref="LoadAccount.AboveShareOfBest"/>; null for none.</param>
    /// <exception cref="ArgumentException">Options that are not allowed.</exception>
    public static IReadOnlyList<LoadAccount> Of(
        IEnumerable<CountedJump> jumps, AccountOptions options, IReadOnlyDictionary<AthleteId, double>? ownBestHeightsM = null)
    {
        ArgumentNullException.ThrowIfNull(jumps);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        return jumps.DistinctBy(jump => jump.Id, StringComparer.Ordinal)
            .GroupBy(jump => jump.Athlete)
            .OrderBy(group => group.Key.Value, StringComparer.Ordinal)
            .Select(group => Account(
                group.Key,
                [.. group.OrderBy(jump => jump.LandingTime).ThenBy(jump => jump.Id, StringComparer.Ordinal)],
                options,
                ownBestHeightsM is not null && ownBestHeightsM.TryGetValue(group.Key, out var best) ? best : null))
            .ToList();
    }

    private static LoadAccount Account(AthleteId athlete, CountedJump[] jumps, AccountOptions options, double? bestM)
    {
        var heightsM = jumps.Where(jump => jump.HeightM is not null).Select(jump => jump.HeightM!.Value).ToArray();
        var shocksG = jumps.Where(jump => jump.LandingShock is not null).Select(jump => jump.LandingShock!.Value.ShockG).ToArray();
        return new LoadAccount
        {
            Athlete = athlete,
            Jumps = jumps.Length,
            FirstLanding = jumps[0].LandingTime,
            LastLanding = jumps[^1].LandingTime,
            Takeoffs = Legs(jumps.Select(jump => jump.TakeoffLeg)),
            Landings = Legs(jumps.Select(jump => jump.LandingLeg)),
            Forms = [.. jumps.GroupBy(jump => jump.Form).OrderBy(group => group.Key is { } form ? (int)form : int.MaxValue).Select(group => new FormCount(group.Key, group.Count()))],
            HeightBands = [.. Bands(heightsM, options.HeightBandEdgesM).Select(band => new HeightBand(band.From, band.Below, band.Count))],
            HeightUnmeasured = jumps.Length - heightsM.Length,
            HeightSumM = heightsM.Sum(),
            AboveShareOfBest = bestM is { } best ? heightsM.Count(height => height > options.OwnBestShare * best) : null,
            ShockBands = [.. Bands(shocksG, options.ShockBandEdgesG).Select(band => new ShockBand(band.From, band.Below, band.Count))],
            ShockUnmeasured = jumps.Length - shocksG.Length,
            ShockSums = [.. Enum.GetValues<Site>().Select(site => Sum(site, jumps, options.ShockExponent))],
            MostInOneMinute = MostWithin(jumps, 60),
        };
    }

    private static LegCounts Legs(IEnumerable<Leg?> legs)
    {
        var counts = legs.CountBy(leg => leg is { } known ? (int)known : -1).ToDictionary();
        return new(
            counts.GetValueOrDefault((int)Leg.Left), counts.GetValueOrDefault((int)Leg.Right), counts.GetValueOrDefault((int)Leg.Both), counts.GetValueOrDefault(-1));
    }

    private static IEnumerable<(double From, double? Below, int Count)> Bands(double[] values, IReadOnlyList<double> edges)
    {
        for (var i = 0; i <= edges.Count; i++)
        {
            // The lowest band takes what is below zero too, so that each measured jump is in one band.
            var from = i == 0 ? double.NegativeInfinity : edges[i - 1];
            double? below = i < edges.Count ? edges[i] : null;
            yield return (Math.Max(0, from), below, values.Count(value => value >= from && !(value >= below)));
        }
    }

    private static ShockSum Sum(Site site, CountedJump[] jumps, int exponent)
    {
        var landed = jumps.Where(jump => Landed(jump, site)).Select(jump => jump.ShockAt(site)).OfType<SiteShock>().ToArray();
        return new(site, exponent, landed.Sum(shock => Math.Pow(shock.ShockG, exponent)), landed.Length, landed.Count(shock => shock.Saturated));
    }

    internal static bool Landed(CountedJump jump, Site site) => (site, jump.LandingLeg) switch
    {
        (Site.Trunk, _) or (_, null) or (_, Leg.Both) => true,
        (Site.AnkleLeft, Leg.Left) or (Site.AnkleRight, Leg.Right) => true,
        _ => false,
    };

    private static int MostWithin(CountedJump[] jumps, double windowS)
    {
        int most = 0, first = 0;
        for (var last = 0; last < jumps.Length; last++)
        {
            while (jumps[last].LandingTime - jumps[first].LandingTime > windowS)
            {
                first++;
            }

            most = Math.Max(most, last - first + 1);
        }

        return most;
    }
}
