using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Take-off and landing as the trunk alone shows them.</summary>
/// <remarks>
/// Between the fastest rise and the fastest fall the floor carries less than the body weight. Take-off is where the
/// unloading line meets zero, landing where the loading line leaves it. Both lines go through two levels of the vertical
/// specific force and are carried on to zero: the levels are low enough to be near the event and high enough to stand
/// clear of noise and of the trunk's own movement in the air. Searching inward from both ends passes over whatever a
/// swinging strap does in the middle of the flight.
/// </remarks>
internal static class TrunkEdges
{
    // Zero-phase: the edge stays where it is. 80 Hz moves the end of a landing that rises in 10 ms by under 2 ms.
    private const double CutoffHz = 80;

    private const double UpperShareOfG = 0.35;
    private const double LowerShareOfG = 0.10;

    // An unloading from 0.35 g to 0.10 g that takes longer than this is no edge any more.
    private const double LongestEdgeS = 0.05;

    private const double MarginS = 0.15;

    /// <summary>Finds both edges.</summary>
    public static (SampleTime Takeoff, SampleTime Landing) Find(SampleTrack trunk, in FlightCandidate candidate, double gravityMps2)
    {
        var signal = LocalSignal.Take(
            trunk,
            candidate.FastestUp.PlusSeconds(-MarginS),
            candidate.FastestDown.PlusSeconds(MarginS),
            point => point.SpecificForceEarthMps2.Z,
            CutoffHz);
        var upper = UpperShareOfG * gravityMps2;
        var lower = LowerShareOfG * gravityMps2;
        var first = Math.Max(signal.IndexAtOrAfter(candidate.FastestUp), 1);
        var last = Math.Min(signal.IndexAtOrAfter(candidate.FastestDown), signal.Count - 2);

        var down = first;
        while (down < last && signal[down] >= upper)
        {
            down++;
        }

        var takeoff = signal.Crossing(down, upper);
        var deeper = down;
        while (deeper < last && signal[deeper] >= lower && signal.TimeAt(deeper) - takeoff < LongestEdgeS)
        {
            deeper++;
        }

        takeoff = CarriedOn(takeoff, signal.Crossing(deeper, lower), upper, lower);

        var up = last;
        while (up > first && signal[up] >= upper)
        {
            up--;
        }

        var landing = signal.Crossing(up + 1, upper);
        var earlier = up;
        while (earlier > first && signal[earlier] >= lower && landing - signal.TimeAt(earlier) < LongestEdgeS)
        {
            earlier--;
        }

        landing = CarriedOn(landing, signal.Crossing(earlier + 1, lower), upper, lower);
        return takeoff < landing ? (takeoff, landing) : (candidate.FastestUp, candidate.FastestDown);
    }

    private static SampleTime CarriedOn(SampleTime atUpper, SampleTime atLower, double upper, double lower) =>
        atLower.PlusSeconds((atLower - atUpper) * lower / (upper - lower));
}
