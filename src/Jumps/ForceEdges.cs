using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Both ends of a flight.</summary>
/// <param name="Takeoff">Where the fading push meets zero.</param>
/// <param name="FadeS">How long it took between the two levels, s.</param>
/// <param name="Landing">Where the load begins.</param>
/// <param name="FlankS">How long the load took from 0.25 to 0.6 g, s.</param>
/// <param name="SmoothedShare">How far the input was smoothed before, 0 to 1.</param>
internal readonly record struct FlightEdges(SampleTime Takeoff, double FadeS, SampleTime Landing, double FlankS, double SmoothedShare);

/// <summary>Take-off and landing as the force at the centre of mass shows them.</summary>
/// <remarks>
/// Between the fastest rise and the fastest fall the floor carries less than the body weight. Take-off is where the
/// unloading meets zero: the force is followed between two levels and carried on by least squares. The levels are low enough
/// to be near the event and high enough to stand clear of noise and of the trunk's own movement in the air. The landing is
/// a change point (<see cref="LoadingEdge"/>).
/// </remarks>
internal static class ForceEdges
{
    // Zero-phase: the edge stays where it is. 80 Hz moves the end of a landing that rises in 10 ms by under 2 ms.
    public const double CutoffHz = 80;

    // A passage between two levels that takes longer than this is no edge any more.
    private const double LongestEdgeS = 0.06;

    // The push fades as a power of the time that is left, between a straight line (1) and a parabola (2). With 1.7 the flights
    // of 14 jumps on force plates are within 4.9 ms of the plates' (20 N), 2.0 ms in the median, and 884 simulated take-offs 0.1 ms early on average.
    private const double UnloadingExponent = 1.7;
    private const double FadeUpperShareOfG = 0.8;
    private const double FadeLowerShareOfG = 0.2;
    private const double GridS = 0.001;

    // Of what is before and after the flight, enough to hold both edges whole.
    private const double BandMarginS = 0.35;

    // A low pass without delay leaves the middle of an edge where it is. On plates (14 jumps) half a body weight comes 7 to 19 ms before
    // take-off, and 5 to 16 ms, 11 ms in the median, behind 15 Hz; 4 ms after the landing, and 0 ms behind 15 Hz, because the load goes on above one body weight.
    private const double HalfToTakeoffS = 0.011;

    // The landing is looked for in the last part of the fall.
    private const double LandingSearchS = 0.12;
    private const double LandingSearchAfterS = 0.005;

    /// <summary>Finds both edges.</summary>
    public static FlightEdges Find(CentreOfMass centre, in FlightCandidate candidate, double gravityMps2)
    {
        var signal = centre.ForceUpMps2(CutoffHz);
        var first = Math.Max(signal.IndexAtOrAfter(candidate.FastestUp), 1);
        var last = Math.Min(signal.IndexAtOrAfter(candidate.FastestDown), signal.Count - 2);
        var (takeoff, fadeS) = Takeoff(signal, first, last, gravityMps2);

        var from = candidate.FastestDown.PlusSeconds(-Math.Min(LandingSearchS, (candidate.FastestDown - candidate.FastestUp) / 2));
        var (landing, flankS) = LoadingEdge.Find(centre, signal, from, candidate.FastestDown.PlusSeconds(LandingSearchAfterS), gravityMps2);
        var smoothed = InputBand.SmoothedShare(
            centre.ForceUpMps2(null), candidate.FastestUp.PlusSeconds(-BandMarginS), candidate.FastestDown.PlusSeconds(BandMarginS), centre.SampleRateHz);
        if (smoothed > 0)
        {
            var (fall, rise) = HalfWay(signal, first, last, gravityMps2 / 2);
            takeoff = takeoff.PlusSeconds(smoothed * (fall.PlusSeconds(HalfToTakeoffS) - takeoff));
            landing = landing.PlusSeconds(smoothed * (rise - landing));
        }

        return takeoff < landing
            ? new(takeoff, fadeS, landing, flankS, smoothed)
            : new(candidate.FastestUp, LongestEdgeS, candidate.FastestDown, LongestEdgeS, smoothed);
    }

    // First fall below a level after the push and last rise above it before the floor carries the body again.
    private static (SampleTime Fall, SampleTime Rise) HalfWay(LocalSignal signal, int first, int last, double level)
    {
        var fall = first;
        while (fall < last && signal[fall] >= level)
        {
            fall++;
        }

        var rise = last;
        while (rise > fall && signal[rise] >= level)
        {
            rise--;
        }

        return (signal.Crossing(fall, level), signal.Crossing(rise + 1, level));
    }

    // Least squares of t over F^(1/p), which is a straight line: at no force it reads the take-off.
    private static (SampleTime Time, double FadeS) Takeoff(LocalSignal signal, int first, int last, double gravityMps2)
    {
        var down = first;
        while (down < last && signal[down] >= FadeUpperShareOfG * gravityMps2)
        {
            down++;
        }

        var from = signal.Crossing(down, FadeUpperShareOfG * gravityMps2);
        var deeper = down;
        while (deeper < last && signal[deeper] >= FadeLowerShareOfG * gravityMps2 && signal.TimeAt(deeper) - from < LongestEdgeS)
        {
            deeper++;
        }

        var lengthS = signal.Crossing(deeper, FadeLowerShareOfG * gravityMps2) - from;
        var (n, sumX, sumT, sumXx, sumXt) = (0, 0.0, 0.0, 0.0, 0.0);
        for (var t = 0.0; t <= lengthS + (GridS / 2); t += GridS)
        {
            var force = Math.Max(signal.At(from.PlusSeconds(t)), 0) / gravityMps2;
            var x = Math.Pow(force, 1 / UnloadingExponent);
            n++;
            sumX += x;
            sumT += t;
            sumXx += x * x;
            sumXt += x * t;
        }

        var spread = (n * sumXx) - (sumX * sumX);
        return (spread <= 0 ? from : from.PlusSeconds(((sumXx * sumT) - (sumX * sumXt)) / spread), lengthS);
    }
}
