using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Take-off and landing as the trunk alone shows them.</summary>
/// <remarks>
/// Between the fastest rise and the fastest fall the floor carries less than the body weight. Take-off is where the
/// unloading meets zero, landing where the loading line leaves it. Both go through two levels of the vertical specific
/// force at the centre of mass and are carried on to zero: the levels are low enough to be near the event and high enough to stand
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

    // The push fades as a power of the time that is left, between a straight line (1) and a parabola (2). A line puts the
    // take-off of 14 jumps on force plates 0 to 3 ms early; a sensor on a person shows it earlier still, because the trunk
    // stops being pushed before the feet leave the floor (22 ms in the one recording with both).
    private const double UnloadingExponent = 1.6;

    private const double MarginS = 0.15;

    // The trunk stops being pushed before the feet leave the floor, by 15 ms as a rule; a leg that is not straight can make
    // the force at the centre of mass look as if it lasted longer than this.
    private const double TrunkLeadsByS = 0.018;

    // The late flight, counted back from where the floor carries one body weight again.
    private const double LateFlightFromS = 0.10;
    private const double LateFlightToS = 0.03;
    private const double LargestCarriedShareOfG = 0.6;

    /// <summary>Finds both edges.</summary>
    public static (SampleTime Takeoff, SampleTime Landing) Find(SampleTrack trunk, in FlightCandidate candidate, double gravityMps2)
    {
        var takeoff = Takeoff(trunk, candidate, point => point.BodyForceUpMps2, gravityMps2);
        var trunkTakeoff = Takeoff(trunk, candidate, point => point.SpecificForceEarthMps2.Z, gravityMps2);
        if (takeoff - trunkTakeoff > TrunkLeadsByS)
        {
            takeoff = trunkTakeoff.PlusSeconds(TrunkLeadsByS);
        }

        var signal = Signal(trunk, candidate, point => point.BodyForceUpMps2);
        var first = Math.Max(signal.IndexAtOrAfter(candidate.FastestUp), 1);
        var last = Math.Min(signal.IndexAtOrAfter(candidate.FastestDown), signal.Count - 2);

        // Legs that come down push the trunk up before the landing: the loading line starts from there, not from zero.
        var carried = CarriedBeforeLanding(signal, first, last, gravityMps2);
        var upper = carried + (UpperShareOfG * (gravityMps2 - carried));
        var lower = carried + (LowerShareOfG * (gravityMps2 - carried));
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

    private static SampleTime Takeoff(
        SampleTrack trunk, in FlightCandidate candidate, Func<TrackPoint, double> pick, double gravityMps2)
    {
        var signal = Signal(trunk, candidate, pick);
        var upper = UpperShareOfG * gravityMps2;
        var lower = LowerShareOfG * gravityMps2;
        var last = Math.Min(signal.IndexAtOrAfter(candidate.FastestDown), signal.Count - 2);
        var down = Math.Max(signal.IndexAtOrAfter(candidate.FastestUp), 1);
        while (down < last && signal[down] >= upper)
        {
            down++;
        }

        var atUpper = signal.Crossing(down, upper);
        var deeper = down;
        while (deeper < last && signal[deeper] >= lower && signal.TimeAt(deeper) - atUpper < LongestEdgeS)
        {
            deeper++;
        }

        // (T - t1) / (T - t2) = (F1 / F2)^(1 / p), solved for the time T at which nothing is left.
        var atLower = signal.Crossing(deeper, lower);
        var ratio = Math.Pow(UpperShareOfG / LowerShareOfG, 1 / UnloadingExponent);
        return atLower.PlusSeconds((atLower - atUpper) / (ratio - 1));
    }

    private static LocalSignal Signal(SampleTrack trunk, in FlightCandidate candidate, Func<TrackPoint, double> pick) => LocalSignal.Take(
        trunk, candidate.FastestUp.PlusSeconds(-MarginS), candidate.FastestDown.PlusSeconds(MarginS), pick, CutoffHz);

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
