using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>Counts by leg; together all jumps of the account.</summary>
/// <param name="Left">Left leg.</param>
/// <param name="Right">Right leg.</param>
/// <param name="Both">Both legs.</param>
/// <param name="Unknown">Not known which.</param>
public readonly record struct LegCounts(int Left, int Right, int Both, int Unknown);

/// <summary>Count of a form.</summary>
/// <param name="Form">The form; null for not known.</param>
/// <param name="Jumps">How many.</param>
public readonly record struct FormCount(ElementForm? Form, int Jumps);

/// <summary>Count of a height band.</summary>
/// <param name="FromM">Lower edge, m, inside the band.</param>
/// <param name="BelowM">Upper edge, m, outside it; null for the highest band.</param>
/// <param name="Jumps">How many.</param>
public readonly record struct HeightBand(double FromM, double? BelowM, int Jumps);

/// <summary>Count of a band of the landing ankle's shock.</summary>
/// <param name="FromG">Lower edge, g, inside the band.</param>
/// <param name="BelowG">Upper edge, g, outside it; null for the highest band.</param>
/// <param name="Landings">How many. A saturated one stands in the band of its lower bound and is also in <see cref="ShockSum.Saturated"/>.</param>
public readonly record struct ShockBand(double FromG, double? BelowG, int Landings);

/// <summary>A sum of landing shocks at one site, each to the power n: a sum and nothing else, not a dose and not the load of a bone.</summary>
/// <param name="Site">Where.</param>
/// <param name="Exponent">The n.</param>
/// <param name="Sum">Sum of shock^n, g^n.</param>
/// <param name="Landings">Landings in the sum.</param>
/// <param name="Saturated">How many of them were only a lower bound; above 0 the sum is "at least".</param>
public readonly record struct ShockSum(Site Site, int Exponent, double Sum, int Landings, int Saturated);

/// <summary>What one athlete did in a stretch of time: counts and sums.</summary>
public sealed record LoadAccount
{
    /// <summary>Who.</summary>
    public required AthleteId Athlete { get; init; }

    /// <summary>How many jumps, each event id once.</summary>
    public required int Jumps { get; init; }

    /// <summary>First landing.</summary>
    public required SampleTime FirstLanding { get; init; }

    /// <summary>Last landing.</summary>
    public required SampleTime LastLanding { get; init; }

    /// <summary>By take-off leg.</summary>
    public required LegCounts Takeoffs { get; init; }

    /// <summary>By landing leg.</summary>
    public required LegCounts Landings { get; init; }

    /// <summary>By form, those that occur, in the order of the enumeration, not known last.</summary>
    public required IReadOnlyList<FormCount> Forms { get; init; }

    /// <summary>By height, lowest band first.</summary>
    public required IReadOnlyList<HeightBand> HeightBands { get; init; }

    /// <summary>Jumps without a height; in no band.</summary>
    public required int HeightUnmeasured { get; init; }

    /// <summary>Sum of the heights, m.</summary>
    public required double HeightSumM { get; init; }

    /// <summary>Jumps above <see cref="AccountOptions.OwnBestShare"/> of her own best; null when her best is not given.</summary>
    public int? AboveShareOfBest { get; init; }

    /// <summary>By the landing ankle's shock, lowest band first.</summary>
    public required IReadOnlyList<ShockBand> ShockBands { get; init; }

    /// <summary>Jumps without a shock of the landing ankle; in no band.</summary>
    public required int ShockUnmeasured { get; init; }

    /// <summary>Sums of shock^n: trunk, left ankle, right ankle. An ankle counts when its leg landed.</summary>
    public required IReadOnlyList<ShockSum> ShockSums { get; init; }

    /// <summary>Largest number of landings inside 60 s.</summary>
    public required int MostInOneMinute { get; init; }

    /// <summary>Mean rate over a stretch, jumps per minute; null when the stretch has no length.</summary>
    /// <param name="durationS">Length of the session or exercise, s. A stretch between two jumps would make the rate too high.</param>
    public double? RatePerMinute(double durationS) => durationS > 0 && double.IsFinite(durationS) ? Jumps * 60 / durationS : null;
}
