using Saltograph.Jumps;

namespace Saltograph.Service.Facts;

/// <summary>Counts by foot.</summary>
/// <param name="Left">Left foot.</param>
/// <param name="Right">Right foot.</param>
/// <param name="Both">Both feet.</param>
/// <param name="Unknown">Not known which.</param>
internal readonly record struct FootCounts(int Left, int Right, int Both, int Unknown)
{
    /// <summary>The counts with one more.</summary>
    public FootCounts Plus(Foot? foot) => foot switch
    {
        Foot.Left => this with { Left = Left + 1 },
        Foot.Right => this with { Right = Right + 1 },
        Foot.Both => this with { Both = Both + 1 },
        _ => this with { Unknown = Unknown + 1 },
    };
}

/// <summary>What an athlete has done on one day. Sums are sums, nothing is averaged or weighted.</summary>
/// <param name="Day">The day, in the hall's zone.</param>
/// <param name="Jumps">Number of jumps.</param>
/// <param name="Takeoffs">By the foot of the last contact.</param>
/// <param name="Landings">By the foot of the first contact.</param>
/// <param name="HeightSumM">Sum of the heights, m.</param>
/// <param name="FlightTimeSumS">Sum of the flight times, s.</param>
internal sealed record DayTotals(
    DateOnly Day, int Jumps, FootCounts Takeoffs, FootCounts Landings, double HeightSumM, double FlightTimeSumS)
{
    /// <summary>Nothing yet.</summary>
    public static DayTotals None(DateOnly day) => new(day, 0, default, default, 0, 0);

    /// <summary>The totals with one more jump.</summary>
    public DayTotals Plus(JumpRecord jump) => this with
    {
        Jumps = Jumps + 1,
        Takeoffs = Takeoffs.Plus(jump.TakeoffFoot),
        Landings = Landings.Plus(jump.LandingFoot),
        HeightSumM = HeightSumM + jump.HeightM,
        FlightTimeSumS = FlightTimeSumS + jump.FlightTimeS,
    };
}
