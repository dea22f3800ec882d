using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Motion;

/// <summary>Lays a jump down: the support that gives its take-off velocity, the flight, and the first contact.</summary>
internal sealed class Launcher(Choreography floor)
{
    private const int Rounds = 9;
    private const int Attempts = 24;
    private const double Longer = 1.1;
    private static readonly double[] Scales = [0.9, 1.0, 0.8, 1.12, 0.72];
    private readonly JumpPlanner _planner = new(floor);

    private BodyModel Body => floor.Body;

    private Movement Movement => floor.Movement;

    /// <summary>
    /// Jumps. A plan that needs more than the floor can give (a pull, too much friction) or too fast a turn is changed step
    /// by step: other bend of the knee at take-off, less travel, less turn. When no step helps, what the floor can give is let
    /// go, and the support grows until the feet have come to rest in it.
    /// </summary>
    public Launched Launch(LaunchPlan plan)
    {
        var wanted = plan;
        for (var attempt = 0; ; attempt++)
        {
            var insist = attempt >= Attempts - 1;
            var planned = Plan(plan, insist);
            if (planned is { } ready && TurnsTooFast(plan, ready.Join))
            {
                plan = plan with { TurnRad = 0.75 * plan.TurnRad };
                attempt--;
            }
            else if (planned is { } good)
            {
                return Commit(plan with { SupportS = good.Support.DurationS }, good);
            }
            else if (insist)
            {
                plan = plan with { SupportS = Longer * plan.SupportS };
            }
            else
            {
                // Straighter or more bent, a shorter or longer support, and a little less travel each time.
                var step = (attempt % 3) switch { 0 => 0.12, 1 => -0.1, _ => 0.25 };
                plan = plan with
                {
                    TakeoffKneeRad = Math.Clamp(wanted.TakeoffKneeRad + step, 0.32, 1.0),
                    SupportS = wanted.SupportS * Scales[attempt % Scales.Length],
                    TravelMps = 0.96 * plan.TravelMps,
                };
            }
        }
    }

    private static bool TurnsTooFast(LaunchPlan plan, JumpJoin join)
    {
        for (var t = join.Path.TakeoffS; t < join.Path.LandingS; t += 0.01)
        {
            if (Math.Abs(join.Path.HeadingKnotAt(t).V) > plan.HighestRateRadps)
            {
                return true;
            }
        }

        return false;
    }

    private Planned? Plan(LaunchPlan plan, bool insist)
    {
        var start = floor.CentreNow();
        var heading0 = Movement.Heading.End;
        LegPlan[] legPlans = [plan.Left, plan.Right];
        var rate = new Knot(0, plan.TurnRad / plan.FlightS);
        var landingRate = rate;
        var support = default(Support);
        JumpJoin? join = null;
        var windUpS = 0.0;
        for (var round = 0; round < Rounds; round++)
        {
            var takeoffS = floor.NowS + plan.SupportS;
            var landingS = takeoffS + plan.FlightS;
            windUpS = Math.Min(plan.WindUpS, plan.SupportS);
            var turnBefore = (heading0.V * (windUpS * 0.45)) + (plan.WindUpShare * rate.V * windUpS);
            var atTakeoff = rate with { X = heading0.X + (heading0.V * (plan.SupportS - windUpS)) + turnBefore };
            join = _planner.Plan(plan, legPlans, takeoffS, landingS, atTakeoff, landingRate with { X = atTakeoff.X + plan.TurnRad }, round < Rounds - 4);
            rate = join.Path.HeadingKnotAt(takeoffS);
            landingRate = join.Path.HeadingKnotAt(landingS);
            if (round < Rounds - 3)
            {
                // The support's length settles in the first rounds; after that only its path.
                support = Support.For(start, join.Path, plan, Body, insist);
                if (support is null)
                {
                    return null;
                }

                plan = plan with { SupportS = support.DurationS };
            }
        }

        var path = CentrePath.Of(
            floor.NowS, start.Place, start.Velocity, support!.Renew(start, join!.Path).Phases, join.Path.TakeoffVelocityMps, join.Path.TakeoffCentreM);
        return IsStillLanding(legPlans, join.Path.TakeoffS) || (!insist && path.LargestFriction > Support.MostFriction)
            ? null
            : new(join, support, path, windUpS, rate, landingRate);
    }

    // A short support may end before the foot has come to rest from the step before.
    private bool IsStillLanding(LegPlan[] legPlans, double takeoffS)
    {
        for (var leg = 0; leg < 2; leg++)
        {
            var tracks = Movement.Legs[leg];
            if (legPlans[leg].Pushes && Math.Max(tracks.AnkleZ.EndS + legPlans[leg].LeadS, tracks.FootHeading.EndS) >= takeoffS)
            {
                return true;
            }
        }

        return false;
    }

    private Launched Commit(
        LaunchPlan plan, Planned planned)
    {
        // Floor: feet flat until the heels rise, heading wound up, the pelvis wherever the centre of mass has to be.
        var (join, windUpS, rate, landingRate) = (planned.Join, planned.WindUpS, planned.Rate, planned.LandingRate);
        var (takeoffS, landingS) = (join.Path.TakeoffS, join.Path.LandingS);
        LegPlan[] legPlans = [plan.Left, plan.Right];
        var now = floor.NowS;
        if (takeoffS - windUpS > now + 0.01)
        {
            Movement.Heading.To(takeoffS - windUpS, new Knot(Movement.Heading.End.X + (Movement.Heading.End.V * (plan.SupportS - windUpS)), Movement.Heading.End.V));
        }

        Movement.Heading.To(takeoffS, rate with { X = join.Path.HeadingAt(takeoffS) });
        for (var i = 0; i < UpperTracks.Count; i++)
        {
            Movement.Upper.Channels[i].To(takeoffS, join.Tracks.Upper[i].KnotAt(takeoffS));
            Movement.Upper.Channels[i].Append(join.Tracks.Upper[i]);
        }

        for (var leg = 0; leg < 2; leg++)
        {
            LayFoot(plan, legPlans[leg], join, leg, takeoffS, windUpS);
        }

        floor.FollowCentre(
            _ => planned.Centre, new(takeoffS, join.Pelvis, join.TakeoffVelocity, join.TakeoffAcceleration), join.Path.TakeoffCentreM - join.Pelvis);
        for (var leg = 0; leg < 2; leg++)
        {
            LeaveFloor(legPlans[leg], join, leg, takeoffS);
        }

        Movement.BeginFlight(takeoffS, join.Path);
        Movement.BeginGround(landingS);

        // Floor again: everything continues from the state in the air.
        var centre = join.Path.CentreAt(landingS);
        var pelvis = PelvisInAir(join.Path, landingS, centre);
        Movement.PelvisX.Start(landingS, new(pelvis.X, join.LandingVelocity.X, join.LandingAcceleration.X));
        Movement.PelvisY.Start(landingS, new(pelvis.Y, join.LandingVelocity.Y, join.LandingAcceleration.Y));
        Movement.PelvisZ.Start(landingS, new(pelvis.Z, join.LandingVelocity.Z, join.LandingAcceleration.Z));
        var heading = landingRate with { X = join.Path.HeadingAt(landingS) };
        Movement.Heading.Start(landingS, heading);
        var ankleVelocity = join.AnkleFall;
        for (var leg = 0; leg < 2; leg++)
        {
            if (legPlans[leg].Lands && legPlans[leg].LagS <= 0)
            {
                var hip = pelvis + Frame.Turn(Movement.HipOffset(leg), Math.Cos(heading.X), Math.Sin(heading.X));
                var pose = Leg.Pose(Body, Movement.Legs[leg].AnglesAt(landingS));
                var ankle = hip + Frame.Turn(pose.Ankle, Math.Cos(heading.X), Math.Sin(heading.X));
                floor.StartFoot(leg, landingS, ankle, ankleVelocity, JumpPlanner.AnkleLandingMps2(plan), heading);
                floor.StopFoot(leg, new(ankle.X, ankle.Y, Body.AnkleHeightM), legPlans[leg].Stop);
            }
        }

        floor.NowS = landingS;
        return new(takeoffS, landingS, join.Path, join.Fall, heading, ankleVelocity, JumpPlanner.AnkleLandingMps2(plan));
    }

    private Vector3D PelvisInAir(FlightPath path, double timeS, Vector3D centre)
    {
        Span<Vector3D> points = stackalloc Vector3D[Posture.PointCount];
        Span<double> masses = stackalloc double[Posture.PointCount];
        var posture = new Posture(
            Body, Movement.Upper.At(timeS), Leg.Pose(Body, Movement.Legs[0].AnglesAt(timeS)),
            Leg.Pose(Body, Movement.Legs[1].AnglesAt(timeS)), points, masses);
        var heading = path.HeadingAt(timeS);
        return centre - Frame.Turn(posture.Centre, Math.Cos(heading), Math.Sin(heading));
    }

    private void LayFoot(LaunchPlan plan, LegPlan legPlan, JumpJoin join, int leg, double takeoffS, double windUpS)
    {
        var tracks = Movement.Legs[leg];
        if (legPlan.Pushes)
        {
            var leaveS = takeoffS - legPlan.LeadS;
            var boundary = join.TakeoffLegs[leg];
            var foot = floor.AnkleEnd(leg);
            var ankle = boundary.AnkleFromPelvis + join.Pelvis - (legPlan.LeadS * boundary.AnkleVelocityMps);
            var up = boundary.AnkleVelocityMps.Z;
            var riseS = Math.Min(
                Math.Max(1.8 * plan.HeelRiseM / Math.Max(up, 0.1), Math.Max(0.05, plan.HeelEarlyShare * Math.Min(plan.SupportS, 0.4))),
                0.85 * (leaveS - tracks.AnkleZ.EndS));
            floor.FootTo(leg, leaveS - riseS, foot);
            floor.FootTo(leg, leaveS, ankle, boundary.AnkleVelocityMps, boundary.AnkleAccelerationMps2);
            var pivotFrom = Math.Max(takeoffS - windUpS, tracks.FootHeading.EndS);
            if (pivotFrom > tracks.FootHeading.EndS)
            {
                tracks.FootHeading.Rest(pivotFrom, tracks.FootHeading.End.X);
            }

            tracks.FootHeading.To(takeoffS, join.FootHeadings[leg]);
        }
        else
        {
            var joints = join.TakeoffLegs[leg].Joints;
            floor.SwingTo(leg, takeoffS, joints[0], joints[1], joints[2], joints[3]);
        }
    }

    private void LeaveFloor(LegPlan legPlan, JumpJoin join, int leg, double takeoffS)
    {
        var tracks = Movement.Legs[leg];
        var boundary = join.TakeoffLegs[leg];
        if (legPlan.Pushes)
        {
            var leaveS = takeoffS - legPlan.LeadS;
            if (legPlan.LeadS > 0)
            {
                floor.FreeLeg(leg, leaveS);
                floor.SwingTo(
                    leg, takeoffS, boundary.Joints[0], boundary.Joints[1], boundary.Joints[2], boundary.Joints[3]);
            }
            else
            {
                for (var j = 0; j < 4; j++)
                {
                    tracks.Joints[j].Start(takeoffS, boundary.Joints[j]);
                }

                tracks.Begin(takeoffS, false);
            }
        }

        for (var j = 0; j < 4; j++)
        {
            tracks.Joints[j].Append(join.Tracks.Joints[leg][j]);
        }
    }

    private sealed record Planned(
        JumpJoin Join, Support Support, CentrePath Centre, double WindUpS, Knot Rate, Knot LandingRate);
}
