using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>Standing, stepping and landing: what joins the elements. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    /// <summary>Quiet standing with a few millimetres of sway.</summary>
    private void Stand(double durationS, double swayM = 0.004)
    {
        var start = Floor.NowS;
        var middle = (Floor.AnkleEnd(0) + Floor.AnkleEnd(1)) / 2;
        var endS = start + durationS;
        for (var t = start; t < endS - 0.3;)
        {
            var next = Math.Min(endS, t + Random.Between(0.6, 1.3));
            next = endS - next < 0.5 ? endS : next;
            var place = new Vector3D(
                middle.X + Random.Around(0, swayM), middle.Y + Random.Around(0, swayM), Floor.StandingPelvisM + Random.Around(-0.001, 0.0005));
            Floor.PelvisTo(next, place);
            Floor.HeadingTo(next, Floor.Heading + Random.Around(0, 0.01));
            Floor.UpperTo(next, Random.Around(_postureLean, 0.008), Random.Around(0, 0.006), Random.Around(0.12, 0.03), Random.Around(0, 0.04));
            t = next;
        }

        Floor.NowS = Floor.Movement.PelvisX.EndS;
    }

    /// <summary>One walking step: the leg swings to a place ahead; pelvis speed at the end as given.</summary>
    private void Step(int leg, double durationS, double headingRad, double travelM, double speedMps, double aheadM, double lowM, in FootStop stop)
    {
        var start = Floor.NowS;
        var end = start + durationS;
        var direction = Choreography.Forward(headingRad);
        var from = Floor.Pelvis;
        // The pelvis goes over the standing foot, a little to its side.
        var side = Choreography.Side(leg);
        var standing = Floor.AnkleEnd(1 - leg);
        var sideways = Vector3D.Dot(standing - from, Choreography.Left(headingRad)) + (side * 0.035);
        var middle = from + (0.5 * travelM * direction) + (0.5 * sideways * Choreography.Left(headingRad));
        var mean = travelM / durationS;
        Floor.PelvisTo(start + (0.5 * durationS), new(middle.X, middle.Y, Floor.StandingPelvisM - (0.25 * lowM)), mean * direction);
        var place = from + (travelM * direction) + (0.3 * sideways * Choreography.Left(headingRad));
        Floor.PelvisTo(end, new(place.X, place.Y, Floor.StandingPelvisM - lowM), speedMps * direction);
        Floor.HeadingTo(end, Floor.Heading + Angles.WrapRad(headingRad - Floor.Heading));
        Floor.UpperTo(end, _postureLean + (0.03 * speedMps), Random.Around(0, 0.02), Random.Around(0.25, 0.1), Random.Around(0, 0.3));
        Floor.LiftFoot(leg, start + (0.22 * durationS), 0.2 * durationS, 0.05, 0.45);
        Floor.SwingTo(
            leg, start + (0.55 * durationS), new Knot(0.18, 1.8 * mean), new(0), new(0), new(Random.Between(0.75, 1.0), -1));
        var foot = Floor.FootPlace(leg, Floor.Pelvis, headingRad, aheadM, 0.03);
        Floor.PlantFoot(leg, end, foot, (0.25 * speedMps * direction) + new Vector3D(0, 0, -Random.Between(0.3, 0.8)), headingRad, stop);
        Floor.NowS = end;
    }

    /// <summary>Brings the feet side by side and the body upright and still.</summary>
    private void CloseFeet(int leg, double durationS)
    {
        var start = Floor.NowS;
        var end = start + durationS;
        var heading = Floor.Heading;
        var standing = Floor.AnkleEnd(1 - leg);
        var place = standing + (Choreography.Side(leg) * Body.HipHalfWidthM * Choreography.Left(heading));
        Floor.PelvisTo(end, new(place.X, place.Y, Floor.StandingPelvisM));
        Floor.HeadingTo(end, heading);
        Floor.UpperTo(end, _postureLean, 0, 0.12, 0);
        if (Floor.Movement.Legs[leg].FootLedNow)
        {
            Floor.LiftFoot(leg, start + (0.3 * durationS), 0.25 * durationS, 0.05, 0.35);
        }

        Floor.SwingTo(leg, start + (0.65 * durationS), new Knot(0.1), new(0), new(0), new(Random.Between(0.6, 0.9)));
        var foot = Floor.FootPlace(leg, new(place.X, place.Y, 0), heading, 0, 0);
        Floor.PlantFoot(leg, end - 0.05, foot, new(0, 0, -Random.Between(0.2, 0.5)), heading, FootStop.Soft);
        Floor.NowS = end;
        // The standing foot points where the body looks again, by small unloaded turns.
        Settle(0.15);
    }

    private void Settle(double durationS)
    {
        var end = Floor.NowS + durationS;
        Floor.PelvisTo(end, new(Floor.Pelvis.X, Floor.Pelvis.Y, Floor.StandingPelvisM));
        Floor.HeadingTo(end, Floor.Heading);
        Floor.NowS = end;
    }

    /// <summary>Lets the body move on while the rear foot leaves the floor, so that a launch can follow.</summary>
    private void LeaveRearFoot(int rear, double durationS, double speedMps)
    {
        var start = Floor.NowS;
        var end = start + durationS;
        var direction = Choreography.Forward(Floor.Heading);
        var mean = ((Floor.PelvisVelocity.X * direction.X) + (Floor.PelvisVelocity.Y * direction.Y) + speedMps) / 2;
        var place = Floor.Pelvis + (mean * durationS * direction);
        Floor.PelvisTo(end, new(place.X, place.Y, Floor.Pelvis.Z - 0.01), speedMps * direction);
        Floor.HeadingTo(end, Floor.Heading);
        Floor.UpperTo(end);
        Floor.LiftFoot(rear, start + (0.8 * durationS), 0.6 * durationS, 0.06, 0.6);
        var joints = Floor.Movement.Legs[rear].Joints;
        Floor.SwingTo(
            rear, end, new(joints[0].End.X + (0.2 * durationS * joints[0].End.V), 0.5), new(joints[1].End.X), new(joints[2].End.X),
            new(joints[3].End.X + 0.1, 1));
        Floor.NowS = end;
    }

    /// <summary>Takes the landing: an early impact, then the knees give way to the lowest point, then up again.</summary>
    private void Absorb(double absorbS, double impactShare, double impactDelayS, double impactS, double depthShape)
    {
        var start = Floor.NowS;
        var z = Floor.Movement.PelvisZ;
        var v = z.End.V;
        var first = start + impactDelayS + impactS;
        var after = v * (1 - impactShare);
        var rest = absorbS - impactDelayS - impactS;
        z.To(start + impactDelayS, new Knot(z.End.X + (v * impactDelayS), v, 0));
        z.To(first, new Knot(z.End.X + (impactS * (v + after) / 2), after, -after / rest));
        var lowest = z.End.X + (depthShape * after * rest);
        z.To(start + absorbS, new Knot(lowest, 0, Math.Min(0.8 * -after / rest, 9)));
    }
}
