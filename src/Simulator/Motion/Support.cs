using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Motion;

/// <summary>State of the centre of mass where a support begins.</summary>
/// <param name="Place">Earth frame, m.</param>
/// <param name="Velocity">m/s.</param>
/// <param name="Force">Vertical force of the floor, body weights; 0 coming out of the air.</param>
internal readonly record struct CentreState(Vector3D Place, Vector3D Velocity, double Force);

/// <summary>
/// The support before a jump: one bounce when the body comes down into it, a counter-movement and a push otherwise. The
/// floor only pushes, and only within friction.
/// </summary>
internal sealed class Support
{
    /// <summary>Largest horizontal over vertical force: shoes or skin on carpet, common practice, no source.</summary>
    public const double MostFriction = 0.95;

    /// <summary>The floor's force never falls below this in a support, body weights.</summary>
    private const double LeastForce = 0.02;

    private const double BouncesBelowMps = -0.25;
    private const double DeepestShare = 0.4;
    private static readonly double[] Stretches = [1, 1.08, 0.92, 1.16, 0.85, 1.25, 0.78, 1.36, 1.5, 0.7, 1.7, 1.9];

    private Support(FloorForce[] phases)
    {
        Phases = phases;
        DurationS = phases.Sum(p => p.DurationS);
    }

    public FloorForce[] Phases { get; }

    public double DurationS { get; }

    /// <summary>The support for a take-off, or null when no length of it will do.</summary>
    public static Support? For(CentreState start, FlightPath flight, LaunchPlan plan, BodyModel body, bool insist)
    {
        var up = flight.TakeoffVelocityMps.Z;
        var rise = flight.TakeoffCentreM.Z - start.Place.Z;
        // Below the take-off height the knees can give way by about two fifths of the leg.
        var lowest = rise - (DeepestShare * body.LegM);
        if (start.Velocity.Z >= BouncesBelowMps)
        {
            if (CounterMovement(start, up, rise, lowest, plan) is { } both)
            {
                return both;
            }
        }

        foreach (var stretch in Stretches)
        {
            var bounce = FloorForce.OfRise(stretch * plan.SupportS, start.Velocity.Z, up, rise, start.Force, 0);
            // Out of the air the force begins at 0: there a bump below 0 would be a pull at once.
            var pushes = start.Force > 0 ? bounce.Least >= -1e-9 && bounce.Late >= 0.02 : bounce.Early >= 0.02 && bounce.Late >= 0.02;
            if (pushes && bounce.LowestM >= lowest)
            {
                return new([bounce]);
            }
        }

        return insist ? new([FloorForce.OfRise(plan.SupportS, start.Velocity.Z, up, rise, start.Force, 0)]) : null;
    }

    /// <summary>The same phases for a take-off that moved a little since.</summary>
    public Support Renew(CentreState start, FlightPath flight)
    {
        var up = flight.TakeoffVelocityMps.Z;
        var rise = flight.TakeoffCentreM.Z - start.Place.Z;
        if (Phases.Length == 1)
        {
            return new([FloorForce.OfRise(DurationS, start.Velocity.Z, up, rise, start.Force, 0)]);
        }

        var low = Phases[1].ForceAt(0);
        var push = FloorForce.OfVelocity(Phases[1].DurationS, 0, up, low, 0, PushEarlyShare);
        return new([FloorForce.OfRise(Phases[0].DurationS, start.Velocity.Z, 0, rise - push.RiseM, start.Force, low), push]);
    }

    private const double PushEarlyShare = 0.4;

    private static Support? CounterMovement(CentreState start, double up, double rise, double lowest, LaunchPlan plan)
    {
        var pushS = Math.Clamp((1 - plan.LowestShare) * plan.SupportS, 0.14, 0.36);
        var (push, low, crouch) = Push(pushS, up, rise);
        while (crouch < lowest && pushS > 0.1)
        {
            pushS *= 0.95;
            (push, low, crouch) = Push(pushS, up, rise);
        }

        if (crouch > -0.02 || crouch < lowest || push.Least < -1e-9)
        {
            return null;
        }

        for (var downS = Math.Max(0.2, plan.LowestShare * plan.SupportS); downS < 2.5; downS *= 1.12)
        {
            var down = FloorForce.OfRise(downS, start.Velocity.Z, 0, crouch, start.Force, low);
            if (down.Least >= LeastForce)
            {
                return new([down, push]);
            }
        }

        return null;
    }

    private static (FloorForce Push, double LowForce, double CrouchM) Push(double pushS, double up, double rise)
    {
        var mean = 1 + (up / (Gravity.StandardMps2 * pushS));
        var low = Math.Clamp(0.95 * mean, 1.2, 2.4);
        var push = FloorForce.OfVelocity(pushS, 0, up, low, 0, PushEarlyShare);
        return (push, low, rise - push.RiseM);
    }
}
