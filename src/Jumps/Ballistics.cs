using MathNet.Numerics.LinearAlgebra;
using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>The vertical motion of the centre of mass over one jump.</summary>
/// <param name="MotionVelocityMps">Upward velocity at take-off from the motion around the flight alone, m/s.</param>
/// <param name="VelocityMps">The same, with flight time and landing posture weighed in, m/s.</param>
internal readonly record struct Ballistics(Estimate MotionVelocityMps, Estimate VelocityMps)
{
    /// <summary>How much of what came before counts. Longer, the offset of the accelerometer takes over; shorter, a crouch does.</summary>
    public const double BeforeS = 2.0;

    /// <summary>How much of what comes after counts.</summary>
    public const double AfterS = 0.9;

    /// <summary>Least that must have been seen before.</summary>
    public const double LeastBeforeS = 0.6;

    /// <summary>Least that must have been seen after.</summary>
    public const double LeastAfterS = 0.3;

    /// <summary>Bent knees, a flat foot and lowered arms, m: D. Yamashita et al. 2020, Appl Sci 10:776, 27 people.</summary>
    public const double UsualDropM = 0.053;

    /// <summary>Stiff landings and deep ones, m (1 sigma).</summary>
    public const double DropSpreadM = 0.04;

    // What the segments' masses and the filter leave in the velocity gained on the floor.
    private const double ModelSpreadMps = 0.02;

    /// <summary>
    /// Solves for height, velocity and accelerometer offset at take-off by least squares: on the floor the force at the centre of
    /// mass is integrated, in the air it is zero. Null when too little of the motion around the flight was seen.
    /// </summary>
    /// <param name="trunk">Trunk: what it reads as one g, and when it stood still.</param>
    /// <param name="force">Force at the centre of mass around the jump, m/s2, unfiltered.</param>
    /// <param name="events">Take-off and landing.</param>
    /// <param name="gravityMps2">Gravity, m/s2.</param>
    public static Ballistics? Find(SampleTrack trunk, LocalSignal force, in FootEvents events, double gravityMps2)
    {
        var first = force.IndexAtOrAfter(events.Takeoff.PlusSeconds(-BeforeS));
        var end = force.IndexAtOrAfter(events.Landing.PlusSeconds(AfterS));
        if (end - first < 2 || events.Takeoff - force.TimeAt(first) < LeastBeforeS || force.TimeAt(end - 1) - events.Landing < LeastAfterS)
        {
            return null;
        }

        var path = FreePath.Over(trunk, force, first, end, events.Takeoff, events.FlightTimeS, gravityMps2);
        var motion = path.Settle(drop: null);
        var both = path.Settle(new Estimate(UsualDropM, DropSpreadM));
        return new(Velocity(motion), Velocity(both));
    }

    /// <summary>Flight time that a velocity at take-off and the usual drop give, s.</summary>
    public static Estimate FlightS(Estimate velocityMps, double gravityMps2)
    {
        var fallMps = Math.Sqrt((velocityMps.Value * velocityMps.Value) + (2 * gravityMps2 * UsualDropM));
        var byVelocityS = velocityMps.Uncertainty * (1 + (velocityMps.Value / fallMps)) / gravityMps2;
        var byDropS = DropSpreadM / fallMps;
        return new((velocityMps.Value + fallMps) / gravityMps2, Math.Sqrt((byVelocityS * byVelocityS) + (byDropS * byDropS)));
    }

    private static Estimate Velocity((Vector<double> Found, Matrix<double> Covariance) solution) =>
        new(solution.Found[1], Math.Sqrt(solution.Covariance[1, 1] + (ModelSpreadMps * ModelSpreadMps)));
}
