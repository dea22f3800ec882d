using System.Globalization;
using Saltograph.Store;

namespace Saltograph.Service.Facts;

/// <summary>Counts by foot.</summary>
/// <param name="Left">Left foot.</param>
/// <param name="Right">Right foot.</param>
/// <param name="Both">Both feet.</param>
/// <param name="Unknown">Not known which.</param>
internal readonly record struct FootCounts(long Left, long Right, long Both, long Unknown)
{
    /// <summary>The counts of the store.</summary>
    public static FootCounts Of(FootLoad load) => new(load.Left, load.Right, load.Both, load.Unknown);
}

/// <summary>What an athlete has done on one day. Sums are sums, nothing is averaged or weighted.</summary>
/// <param name="Day">The day, in the hall's zone.</param>
/// <param name="Jumps">Number of jumps.</param>
/// <param name="Takeoffs">By the foot of the last contact.</param>
/// <param name="Landings">By the foot of the first contact.</param>
/// <param name="HeightSumM">Sum of the heights, m.</param>
/// <param name="FlightTimeSumS">Sum of the flight times, s.</param>
internal sealed record DayTotals(
    DateOnly Day, long Jumps, FootCounts Takeoffs, FootCounts Landings, double HeightSumM, double FlightTimeSumS)
{
    /// <summary>The totals of the store.</summary>
    public static DayTotals Of(DayLoad load) => new(
        DateOnly.ParseExact(load.Day, "yyyy-MM-dd", CultureInfo.InvariantCulture),
        load.Jumps,
        FootCounts.Of(load.Takeoffs),
        FootCounts.Of(load.Landings),
        load.HeightSumM,
        load.FlightTimeSumS);
}
