using MathNet.Numerics.LinearAlgebra;
using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>A value and its standard uncertainty (k = 1).</summary>
internal readonly record struct Estimate(double Value, double Uncertainty);

/// <summary>The vertical motion of the centre of mass over one jump.</summary>
/// <param name="MotionVelocityMps">Upward velocity at take-off from the motion around the flight alone, m/s.</param>
/// <param name="VelocityMps">The same, with flight time and landing posture weighed in, m/s.</param>
/// <param name="LandingDropM">How much lower the centre of mass is at landing than at take-off, m.</param>
internal readonly record struct Ballistics(Estimate MotionVelocityMps, Estimate VelocityMps, Estimate LandingDropM)
{
    /// <summary>How much of what came before counts. Longer, the offset of the accelerometer takes over; shorter, a crouch does.</summary>
    public const double BeforeS = 2.0;

    /// <summary>How much of what comes after counts.</summary>
    public const double AfterS = 0.9;

    private const double LeastBeforeS = 0.6;
    private const double LeastAfterS = 0.3;

    // On the floor the centre of mass stays within a body's reach: 0.1 m around its mean over a push-off, a step, an absorption.
    private const double FloorSpreadM = 0.10;
    private const double FloorMemoryS = 0.25;

    // Standing still it does not move.
    private const double StillSpreadMps = 0.02;
    private const double StillMemoryS = 0.25;

    // Offset left after the last standing rest, and of an accelerometer that never stood still.
    private const double KnownOffsetMps2 = 0.05;
    private const double UnknownOffsetMps2 = 0.3;

    /// <summary>Bent knees, a flat foot and lowered arms, m: D. Yamashita et al. 2020, Appl Sci 10:776, 27 people.</summary>
    public const double UsualDropM = 0.053;

    // Stiff landings and deep ones.
    private const double DropSpreadM = 0.04;

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
        var motion = Solve(path, drop: null);
        var both = Solve(path, new Estimate(UsualDropM, DropSpreadM));
        return new(Velocity(motion), Velocity(both), Drop(path, both));
    }

    /// <summary>
    /// Velocity of the trunk after the landing, from its own motion around the jump: what it does in the air is integrated too,
    /// since it is not the centre of mass.
    /// </summary>
    /// <returns>Times since landing, s, and upward velocities, m/s; null when too little was seen.</returns>
    public static (double[] TimesS, double[] VelocitiesMps)? TrunkAfterLanding(SampleTrack trunk, in FootEvents events, double gravityMps2)
    {
        var force = LocalSignal.Take(
            trunk,
            events.Takeoff.PlusSeconds(-BeforeS),
            events.Landing.PlusSeconds(AfterS),
            point => point.SpecificForceEarthMps2.Z,
            cutoffHz: null);
        var (takeoff, landing) = (events.Takeoff, events.Landing);
        if (force.Count < 2 || takeoff - force.TimeAt(0) < LeastBeforeS || force.TimeAt(force.Count - 1) - landing < LeastAfterS)
        {
            return null;
        }

        var path = FreePath.Over(trunk, force, 0, force.Count, landing, 0, gravityMps2);
        var found = Solve(path, drop: null).Found;
        var after = path.Points.Where(point => point.TimeS >= 0).ToArray();
        return (
            Array.ConvertAll(after, point => point.TimeS),
            Array.ConvertAll(after, point => point.VelocityMps + found[1] + (found[2] * point.OffsetVelocityS)));
    }

    private static (Vector<double> Found, Matrix<double> Covariance) Solve(FreePath path, Estimate? drop)
    {
        // Unknown: height and velocity at take-off, offset of the acceleration on the floor.
        var normal = Matrix<double>.Build.Dense(3, 3);
        var right = Vector<double>.Build.Dense(3);
        foreach (var point in path.Points)
        {
            if (point.OnFloor)
            {
                Add([1, point.TimeS, point.OffsetPathS2], -point.PathM, FloorSpreadM, path.IntervalS / FloorMemoryS);
            }

            if (point.Still)
            {
                Add([0, 1, point.OffsetVelocityS], -point.VelocityMps, StillSpreadMps, path.IntervalS / StillMemoryS);
            }
        }

        Add([0, 0, 1], 0, path.OffsetKnown ? KnownOffsetMps2 : UnknownOffsetMps2, 1);
        if (drop is { } usual)
        {
            Add([0, path.FlightTimeS, 0], (path.GravityMps2 * path.FlightTimeS * path.FlightTimeS / 2) - usual.Value, usual.Uncertainty, 1);
        }

        return (normal.Cholesky().Solve(right), normal.Inverse());

        void Add(ReadOnlySpan<double> row, double value, double spread, double count)
        {
            var weight = count / (spread * spread);
            for (var i = 0; i < 3; i++)
            {
                right[i] += weight * row[i] * value;
                for (var j = 0; j < 3; j++)
                {
                    normal[i, j] += weight * row[i] * row[j];
                }
            }
        }
    }

    private static Estimate Velocity((Vector<double> Found, Matrix<double> Covariance) solution) =>
        new(solution.Found[1], Math.Sqrt(solution.Covariance[1, 1] + (ModelSpreadMps * ModelSpreadMps)));

    private static Estimate Drop(FreePath path, (Vector<double> Found, Matrix<double> Covariance) solution)
    {
        var velocity = Velocity(solution);
        var flightTimeS = path.FlightTimeS;
        return new(
            (path.GravityMps2 * flightTimeS * flightTimeS / 2) - (velocity.Value * flightTimeS),
            velocity.Uncertainty * flightTimeS);
    }
}
