using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>What follows first contact: absorbing, turning out, stepping out. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    /// <summary>Takes the landing on one leg, steps out with the other and stands.</summary>
    private void RecoverOnOneLeg(int leg, double travelMps)
    {
        var start = NowS;
        var free = 1 - leg;
        var state = Floor.CentreNow();
        var endHeight = Floor.StandingPelvisM - Random.Between(0.05, 0.08);
        var rise = endHeight - Floor.Pelvis.Z;
        var absorption = DrawAbsorption(
            state, Math.Clamp(BySkill(0.16, 0.23, 0.04), 0.09, 0.36), Random.Between(0.22, 0.4), rise);
        var duration = absorption.DurationS;
        var t1 = start + duration;
        var v = state.Velocity;
        TurnOut(leg, start, Random.Between(0.25, 0.6), t1);
        Floor.UpperTo(start + absorption.DownS, _postureLean + Random.Between(0.05, 0.3), 0, 0.9, 0.2);
        Floor.UpperTo(t1, _postureLean, 0, 0.6, 0.2);
        var heading = Floor.Heading;
        var direction = travelMps > 0.3 ? Math.Atan2(v.Y, v.X) : heading;
        var knee = Random.Between(0.7, 1.1);
        var ahead = Random.Between(0.12, 0.22);
        var down = Random.Between(0.4, 0.9);
        var endVelocity = 0.2 * new Vector3D(v.X, v.Y, 0);
        Floor.FollowCentre(
            offset => CentrePath.Of(
                start, state.Place, state.Velocity, absorption.Phases(state, endHeight + offset.Z - state.Place.Z), endVelocity, null),
            legs: () =>
            {
                Floor.SwingTo(free, start + (0.6 * duration), new(-0.1, 2.5), new(0), new(0), new(knee));
                var foot = Floor.FootPlace(free, Floor.Pelvis + (ahead * Choreography.Forward(direction)), heading, 0, 0.02);
                Floor.PlantFoot(free, t1, foot, new(0, 0, -down), new(heading), FootStop.Soft);
            });
        Floor.NowS = t1;
        CloseFeet(leg, Random.Between(0.7, 0.9));
    }

    /// <summary>Lets the turn run out after landing; the foot turns along on its ball for a while.</summary>
    private void TurnOut(int leg, double start, double turnS, double until)
    {
        var heading = Movement.Heading.End;
        var end = Math.Min(start + turnS, until);
        var angle = heading.X + (0.38 * heading.V * (end - start));
        Floor.HeadingTo(end, angle);
        if (end < until)
        {
            Floor.HeadingTo(until, angle);
        }

        var foot = Movement.Legs[leg].FootHeading;
        var stop = Random.Between(0.05, 0.3);
        foot.Rest(start + stop, foot.End.X + (0.4 * foot.End.V * stop));
    }

    private void RecoverOnTwoLegs(int first, double lagS, FootStop stop, Launched launched)
    {
        var start = NowS;
        var state = Floor.CentreNow();
        var second = 1 - first;
        var ankle = lagS > 0 ? FreeAnkle(second, start) : default;
        var absorption = DrawAbsorption(
            state, Math.Clamp(BySkill(0.15, 0.22, 0.04), 0.09, 0.36), Random.Between(0.4, 0.8), Floor.StandingPelvisM - Floor.Pelvis.Z);
        var end = start + absorption.DurationS;
        TurnOut(first, start, Random.Between(0.2, 0.4), end);
        Floor.UpperTo(start + absorption.DownS, _postureLean + Random.Between(0.1, 0.35), 0, 0.6, 0.4);
        Floor.UpperTo(end, _postureLean, 0, 0.12, 0);
        if (lagS <= 0)
        {
            var foot = Movement.Legs[second].FootHeading;
            foot.Rest(start + 0.12, foot.End.X + (0.4 * foot.End.V * 0.12));
        }

        var middle = Floor.AnkleEnd(first) - (Choreography.Side(first) * Body.HipHalfWidthM * Choreography.Left(Floor.Heading));
        Floor.FollowCentre(
            offset => CentrePath.Of(
                start, state.Place, state.Velocity,
                absorption.Phases(state, Floor.StandingPelvisM + offset.Z - state.Place.Z), Vector3D.Zero,
                new(middle.X, middle.Y, 0)),
            legs: lagS <= 0 ? null : () =>
            {
                // It falls on as it did in the air.
                var contact = start + lagS;
                var fall = launched.AnkleLandingMps + (lagS * launched.AnkleLandingMps2);
                var place = ankle + (lagS / 2 * (launched.AnkleLandingMps + fall));
                Floor.PlantFoot(
                    second, contact, new(place.X, place.Y, Body.AnkleHeightM), fall, Movement.Heading.KnotAt(contact),
                    stop with { HeelM = place.Z - Body.AnkleHeightM }, launched.AnkleLandingMps2);
                var foot = Movement.Legs[second].FootHeading;
                foot.Rest(contact + 0.12, foot.End.X + (0.05 * foot.End.V));
            });
        Floor.NowS = end;
        Settle(0.2);
    }

    private Vector3D FreeAnkle(int leg, double timeS)
    {
        var heading = Movement.HeadingAt(timeS);
        var (sin, cos) = Math.SinCos(heading);
        var pose = Leg.Pose(Body, Movement.Legs[leg].AnglesAt(timeS));
        return Floor.Pelvis + Frame.Turn(Movement.HipOffset(leg) + pose.Ankle, cos, sin);
    }
}
