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

    // The late flight, counted back from where the floor carries one body weight again.
    private const double LateFlightFromS = 0.10;
    private const double LateFlightToS = 0.03;
    private const double LargestCarriedShareOfG = 0.6;

    /// <summary>Finds both edges.</summary>
    public static (SampleTime Takeoff, SampleTime Landing) Find(SampleTrack trunk, in FlightCandidate candidate, double gravityMps2)
    {
        var signal = LocalSignal.Take(
            trunk,
            candidate.FastestUp.PlusSeconds(-MarginS),
            candidate.FastestDown.PlusSeconds(MarginS),
            point => point.BodyForceUpMps2,
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

        // Legs that come down push the trunk up before the landing: the loading line starts from there, not from zero.
        var carried = CarriedBeforeLanding(signal, first, last, gravityMps2);
        upper = carried + (UpperShareOfG * (gravityMps2 - carried));
        lower = carried + (LowerShareOfG * (gravityMps2 - carried));
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

        landing = CarriedOn(landing, signal.Crossing(earlier + 1, lower), upper - carried, lower - carried);
        return takeoff < landing ? (takeoff, landing) : (candidate.FastestUp, candidate.FastestDown);
    }

    /// <summary>Median of the vertical specific force over the last part of the flight, from 0 to what still allows an edge.</summary>
    private static double CarriedBeforeLanding(LocalSignal signal, int first, int last, double gravityMps2)
    {
        var from = signal.IndexAtOrAfter(signal.TimeAt(last).PlusSeconds(-LateFlightFromS));
        var to = signal.IndexAtOrAfter(signal.TimeAt(last).PlusSeconds(-LateFlightToS));
        var values = new List<double>();
        for (var i = Math.Max(from, first); i < to; i++)
        {
            values.Add(signal[i]);
        }

        values.Sort();
        return values.Count == 0 ? 0 : Math.Clamp(values[values.Count / 2], 0, LargestCarriedShareOfG * gravityMps2);
    }

    private static SampleTime CarriedOn(SampleTime atUpper, SampleTime atLower, double upper, double lower) =>
        atLower.PlusSeconds((atLower - atUpper) * lower / (upper - lower));
}
