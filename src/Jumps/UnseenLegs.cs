using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Take-off and landing where one leg or both have no sensor to tell what they do.</summary>
/// <remarks>
/// The trunk is not the body. At the end of the push it is held back by the legs that follow it, so that it reads zero before the toes leave and
/// less than zero after; the whole body never does. At the landing the load comes through bending legs: the contact is a small kink, the
/// step that follows it may be 20 to 50 ms later. So every kink of the force is weighed: by how sharp it is, by the kinks before it that
/// would have to be the swing of a leg, and by how far below the take-off the flight would end.
/// </remarks>
internal static class UnseenLegs
{
    // For each leg. 1823 simulated take-offs of 38 gymnasts: found 9 ms early by the trunk alone (6.5 ms, 1 sigma), whatever the depth of its
    // reading below zero, and 4.7 ms with either ankle (4.9 ms).
    private const double TakeoffLaterS = 0.0045;

    // Mean over this long after it: of the whole body on 14 jumps on plates 0 to -0.06 g (ringing), of simulated trunks -0.3 g (median).
    private const double PulledForS = 0.020;
    private const double NotPulledShareOfG = 0.05;
    private const double PulledShareOfG = 0.15;

    // Half the stretch of the second difference: shorter drowns in noise, longer sees the swing of the legs.
    private const double HalfKinkS = 0.005;

    // Below it the filter under the kinks rings at a step of the force.
    private const double LeastRateHz = 250;

    // Kinks of contacts scatter by factors around the first figure, those of the legs in the air fall off exponentially with the third.
    private const double ContactKinkShareOfG = 0.25;
    private const double ContactKinkLogSigma = 0.8;
    private const double SwingKinkShareOfG = 0.02;
    private const double LeastKinkShareOfG = 0.03;

    // From the contact until the floor carries one body weight: 62 ms at most in 99 of 100 simulated landings.
    private const double SearchS = 0.080;

    // The step's flank gives the instant more finely than the kink where they are one event.
    private const double SameEventS = 0.008;
    private const double GridS = 0.001;

    /// <summary>The edges, put right.</summary>
    public static FlightEdges Find(
        SampleTrack trunk, SampleTrack? left, SampleTrack? right, CentreOfMass centre, in FlightEdges edges, in FlightCandidate candidate, in ArmLengths arms, double gravityMps2)
    {
        var unseen = (left is null ? 1 : 0) + (right is null ? 1 : 0);
        var force = centre.ForceUpMps2(ForceEdges.CutoffHz);
        var takeoff = edges.Takeoff.PlusSeconds((1 - edges.SmoothedShare) * unseen * TakeoffLaterS * Pulled(centre.ForceUpMps2(null), edges.Takeoff, gravityMps2));
        if (edges.SmoothedShare > 0 || trunk.SampleRateHz < LeastRateHz)
        {
            return edges with { Takeoff = takeoff };
        }

        var expected = Expected(trunk, left, right, edges with { Takeoff = takeoff }, arms, gravityMps2);
        var contact = Contact(force, takeoff, candidate.FastestDown, expected, gravityMps2);
        return contact is { } found && Math.Abs(found - edges.Landing) > SameEventS
            ? edges with { Takeoff = takeoff, Landing = found }
            : edges with { Takeoff = takeoff };
    }

    // Of the force as it came: a filter rings behind a push that ends at once. 0 where the force stays at zero as that of a whole body does, 1 where something clearly pulls the trunk down.
    private static double Pulled(LocalSignal force, SampleTime takeoff, double gravityMps2)
    {
        var shareOfG = -force.Mean(takeoff, takeoff.PlusSeconds(PulledForS)) / gravityMps2;
        return double.IsNaN(shareOfG) ? 0 : Math.Clamp((shareOfG - NotPulledShareOfG) / (PulledShareOfG - NotPulledShareOfG), 0, 1);
    }

    /// <summary>Flight time by the velocity at take-off and the usual drop; null when too little of the motion was seen.</summary>
    private static Estimate? Expected(SampleTrack trunk, SampleTrack? left, SampleTrack? right, in FlightEdges edges, in ArmLengths arms, double gravityMps2)
    {
        var force = CentreOfMass.Over(
            trunk, left, right, edges.Takeoff.PlusSeconds(-Ballistics.BeforeS), edges.Landing.PlusSeconds(Ballistics.AfterS), arms).ForceUpMps2(null);
        var events = new FootEvents { Takeoff = edges.Takeoff, Landing = edges.Landing };
        return Ballistics.Find(trunk, force, events, gravityMps2) is { MotionVelocityMps: { Value: > 0 } velocity }
            ? Ballistics.FlightS(velocity, gravityMps2)
            : null;
    }

    /// <summary>The likeliest of the kinks.</summary>
    private static SampleTime? Contact(LocalSignal force, SampleTime takeoff, SampleTime carried, Estimate? expectedS, double gravityMps2)
    {
        SampleTime? best = null;
        var (mostLikely, swings) = (double.NegativeInfinity, 0.0);
        var from = carried.PlusSeconds(-Math.Min(SearchS, (carried - takeoff) / 2));
        for (var time = from; time <= carried; time = time.PlusSeconds(GridS))
        {
            var kink = Kink(time);
            if (kink < LeastKinkShareOfG || kink < Kink(time.PlusSeconds(-GridS)) || kink <= Kink(time.PlusSeconds(GridS)))
            {
                continue;
            }

            var sharp = Math.Log(kink / ContactKinkShareOfG) / ContactKinkLogSigma;
            var off = expectedS is { } expected ? (time - takeoff - expected.Value) / expected.Uncertainty : 0;
            var likely = swings - (0.5 * sharp * sharp) - Math.Log(kink * ContactKinkLogSigma * Math.Sqrt(2 * Math.PI)) - (0.5 * off * off);
            if (likely > mostLikely)
            {
                (mostLikely, best) = (likely, time);
            }

            swings -= (kink / SwingKinkShareOfG) + Math.Log(SwingKinkShareOfG);
        }

        return best;

        double Kink(SampleTime time) =>
            (force.At(time.PlusSeconds(HalfKinkS)) - (2 * force.At(time)) + force.At(time.PlusSeconds(-HalfKinkS))) / gravityMps2;
    }
}
