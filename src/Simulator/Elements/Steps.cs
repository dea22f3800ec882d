using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>Standing, stepping and landing: what joins the elements. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    /// <summary>Quiet standing with a few millimetres of sway.</summary>
    private void Stand(double durationS, double swayM = 0.0025)
    {
        var start = Floor.NowS;
        var middle = (Floor.AnkleEnd(0) + Floor.AnkleEnd(1)) / 2;
        var endS = start + durationS;
        for (var t = start; t < endS - 0.3;)
        {
            var next = Math.Min(endS, t + Random.Between(0.8, 1.6));
            next = endS - next < 0.5 ? endS : next;
            var place = new Vector3D(
                middle.X + Random.Around(0, swayM), middle.Y + Random.Around(0, swayM), Floor.StandingPelvisM + Random.Around(-0.001, 0.0005));
            Floor.PelvisTo(next, place);
            Floor.HeadingTo(next, Floor.Heading + Random.Around(0, 0.004));
            Floor.UpperTo(next, Random.Around(_postureLean, 0.004), Random.Around(0, 0.003), Random.Around(0.12, 0.03), Random.Around(0, 0.04));
            t = next;
        }

        Floor.NowS = Floor.Movement.PelvisX.EndS;
    }

    /// <summary>Leads the body so that the floor's force stays smooth; the legs are laid down for it.</summary>
    private void Go(double endS, Vector3D pelvis, Vector3D velocity, Action? legs = null)
    {
        var state = Floor.CentreNow();
        var start = Floor.NowS;
        Floor.FollowCentre(
            offset => CentrePath.Of(
                start, state.Place, state.Velocity,
                [FloorForce.OfRise(endS - start, state.Velocity.Z, velocity.Z, pelvis.Z + offset.Z - state.Place.Z, state.Force, 1)],
                velocity, pelvis + offset),
            legs: legs);
        Floor.NowS = endS;
    }

    /// <summary>As long as given or as the floor needs to do it by pushing, from rest to rest.</summary>
    private static double LongEnough(double durationS, double riseM, double leastForce)
    {
        while (FloorForce.OfRise(durationS, 0, 0, riseM, 1, 1).Least < leastForce)
        {
            durationS *= 1.05;
        }

        return durationS;
    }

    /// <summary>Keeps or brings the centre of mass over a place on the floor, at rest at the end.</summary>
    private void GoOver(double endS, Vector3D over, double pelvisM, Action? legs = null)
    {
        var state = Floor.CentreNow();
        var start = Floor.NowS;
        Floor.FollowCentre(
            offset => CentrePath.Of(
                start, state.Place, state.Velocity,
                [FloorForce.OfRise(endS - start, state.Velocity.Z, 0, pelvisM + offset.Z - state.Place.Z, state.Force, 1)],
                Vector3D.Zero, over),
            legs: legs);
        Floor.NowS = endS;
    }

    /// <summary>One walking step: the leg swings to a place ahead; pelvis speed at the end as given.</summary>
    private void Step(int leg, double durationS, double headingRad, double travelM, double speedMps, double aheadM, double lowM, FootStop stop)
    {
        var start = Floor.NowS;
        var end = start + durationS;
        var direction = Choreography.Forward(headingRad);
        var from = Floor.Pelvis;
        // The pelvis stays between the feet, a little to the side of the standing one.
        var side = Choreography.Side(leg);
        var standing = Floor.AnkleEnd(1 - leg);
        var sideways = Vector3D.Dot(standing - from, Choreography.Left(headingRad)) + (side * 0.035);
        var place = from + (travelM * direction) + (0.5 * sideways * Choreography.Left(headingRad));
        place = new(place.X, place.Y, Floor.StandingPelvisM - lowM);
        Floor.HeadingTo(end, Floor.Heading + Angles.WrapRad(headingRad - Floor.Heading));
        Floor.UpperTo(end, _postureLean + (0.03 * speedMps), Random.Around(0, 0.02), Random.Around(0.25, 0.1), Random.Around(0, 0.3));
        var knee = Random.Between(0.65, 0.85);
        var down = Random.Between(0.3, 0.8);
        var swing = 1.5 * travelM / durationS;
        Go(end, place, speedMps * direction, () =>
        {
            Floor.LiftFoot(leg, start + (0.17 * durationS), 0.16 * durationS, 0.03, 0.3);
            Floor.SwingTo(leg, start + (0.55 * durationS), new Knot(0.12, swing), new(0), new(0), new(knee, -1));
            var foot = Floor.FootPlace(leg, Floor.Pelvis, headingRad, aheadM, 0.03);
            Floor.PlantFoot(leg, end, foot, (0.25 * speedMps * direction) + new Vector3D(0, 0, -down), new(headingRad), stop);
        });
    }

    /// <summary>Brings the feet side by side and the body upright and still.</summary>
    private void CloseFeet(int leg, double durationS)
    {
        var start = Floor.NowS;
        var end = start + durationS;
        var heading = Floor.Heading;
        var standing = Floor.AnkleEnd(1 - leg);
        var place = standing + (Choreography.Side(leg) * Body.HipHalfWidthM * Choreography.Left(heading));
        place = new(place.X, place.Y, Floor.StandingPelvisM);
        Floor.HeadingTo(end, heading);
        Floor.UpperTo(end, _postureLean, 0, 0.12, 0);
        var knee = Random.Between(0.6, 0.9);
        var down = Random.Between(0.2, 0.5);
        var stands = Floor.Movement.Legs[leg].FootLedNow;
        Go(end, place, Vector3D.Zero, () =>
        {
            if (stands)
            {
                Floor.LiftFoot(leg, start + (0.3 * durationS), 0.25 * durationS, 0.05, 0.35);
            }

            Floor.SwingTo(leg, start + (0.65 * durationS), new Knot(0.1), new(0), new(0), new(knee));
            var foot = Floor.FootPlace(leg, place, heading, 0, 0);
            Floor.PlantFoot(leg, end - 0.05, foot, new(0, 0, -down), new(heading), FootStop.Soft);
        });
        Settle(0.2);
    }

    private void Settle(double durationS)
    {
        var end = Floor.NowS + durationS;
        Floor.HeadingTo(end, Floor.Heading);
        Floor.UpperTo(end);
        Go(end, new(Floor.Pelvis.X, Floor.Pelvis.Y, Floor.StandingPelvisM), Vector3D.Zero);
    }

    /// <summary>Lets the body move on while the rear foot leaves the floor, so that a launch can follow.</summary>
    private void LeaveRearFoot(int rear, double durationS, double speedMps)
    {
        var start = Floor.NowS;
        var end = start + durationS;
        var direction = Choreography.Forward(Floor.Heading);
        var mean = ((Floor.PelvisVelocity.X * direction.X) + (Floor.PelvisVelocity.Y * direction.Y) + speedMps) / 2;
        var place = Floor.Pelvis + (mean * durationS * direction);
        Floor.HeadingTo(end, Floor.Heading);
        Floor.UpperTo(end);
        Go(end, new(place.X, place.Y, Floor.Pelvis.Z - 0.01), speedMps * direction, () =>
        {
            // Lifted, the leg goes on as it moves.
            Floor.LiftFoot(rear, start + (0.8 * durationS), 0.75 * durationS, 0.05, 0.5);
            var j = Floor.Movement.Legs[rear].Joints;
            var left = 0.2 * durationS;
            Floor.SwingTo(rear, end, On(j[0].End), On(j[1].End), On(j[2].End), On(j[3].End));

            Knot On(Knot knot) => new(knot.X + (0.9 * knot.V * left), 0.8 * knot.V);
        });
    }

    /// <summary>The forces of a landing: down to the lowest point, and up to a height at rest.</summary>
    private sealed record Absorption(double DownS, double UpS, double LowForce, double EarlyShare)
    {
        public double DurationS => DownS + UpS;

        public FloorForce[] Phases(CentreState state, double riseM)
        {
            var down = FloorForce.OfVelocity(DownS, state.Velocity.Z, 0, state.Force, LowForce, EarlyShare);
            return [down, FloorForce.OfRise(UpS, 0, 0, riseM - down.RiseM, LowForce, 1)];
        }
    }

    /// <summary>Draws how a landing is taken; it takes longer where the floor would have to pull.</summary>
    private Absorption DrawAbsorption(CentreState state, double downS, double upS, double riseM)
    {
        var share = Random.Between(0.45, 0.8);
        var force = Random.Between(0.65, 0.95);
        var absorption = new Absorption(downS, upS, 1, share);
        for (var round = 0; round < 40; round++)
        {
            var mean = 1 - (state.Velocity.Z / (Gravity.StandardMps2 * absorption.DownS));
            absorption = absorption with { LowForce = Math.Clamp(force * mean, 1.05, 2.4) };
            var phases = absorption.Phases(state, riseM);
            var tooDeep = phases[0].RiseM < -0.36 * Body.LegM;
            var pulls = phases[1].Least < 0.3;
            if (!tooDeep && !pulls)
            {
                break;
            }

            // A large force at the lowest point would throw the body up again.
            force *= pulls ? 0.93 : 1;
            absorption = absorption with
            {
                DownS = tooDeep ? 0.92 * absorption.DownS : absorption.DownS,
                UpS = pulls ? Math.Min(1.2, 1.06 * absorption.UpS) : absorption.UpS,
            };
        }

        return absorption;
    }
}
