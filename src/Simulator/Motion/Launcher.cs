using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Motion;

/// <summary>
/// Plans one jump so that floor and air join smoothly: the take-off velocity follows from the wanted flight time and the
/// postures at both ends (v = g T / 2 - d / T with d the drop of the centre of mass), the legs' rates from the feet.
/// </summary>
internal sealed class Launcher(Choreography floor)
{
    /// <summary>Acceleration of the landing ankle just before contact, m/s2.</summary>
    public static readonly Vector3D AnkleLandingMps2 = new(0, 0, -4);

    /// <summary>The foot is pulled on as it leaves the floor; it also keeps the knee from locking, m/s2.</summary>
    private const double AnklePullMps2 = 12;

    private const int Rounds = 9;

    private BodyModel Body => floor.Body;

    private Movement Movement => floor.Movement;

    public Launched Launch(LaunchPlan plan)
    {
        while (true)
        {
            if (TryLaunch(plan) is { } launched)
            {
                return launched;
            }

            plan = plan with { TurnRad = 0.75 * plan.TurnRad };
        }
    }

    private Launched? TryLaunch(LaunchPlan plan)
    {
        var takeoffS = floor.NowS + plan.SupportS;
        var landingS = takeoffS + plan.FlightS;
        var heading0 = Movement.Heading.End;
        var windUpS = Math.Min(plan.WindUpS, plan.SupportS);
        LegPlan[] legPlans = [plan.Left, plan.Right];
        var rate = new Knot(0, plan.TurnRad / plan.FlightS);
        var landingRate = rate;
        Join? join = null;
        for (var round = 0; round < Rounds; round++)
        {
            var turnBefore = (heading0.V * (windUpS * 0.45)) + (plan.WindUpShare * rate.V * windUpS);
            var atTakeoff = rate with { X = heading0.X + (heading0.V * (plan.SupportS - windUpS)) + turnBefore };
            join = Plan(plan, legPlans, takeoffS, landingS, atTakeoff, landingRate with { X = atTakeoff.X + plan.TurnRad });
            rate = join.Path.HeadingKnotAt(takeoffS);
            landingRate = join.Path.HeadingKnotAt(landingS);
        }

        for (var t = takeoffS; t < landingS; t += 0.01)
        {
            if (Math.Abs(join!.Path.HeadingKnotAt(t).V) > plan.HighestRateRadps)
            {
                return null;
            }
        }

        return Commit(plan, legPlans, join!, takeoffS, landingS, windUpS, rate, landingRate);
    }

    private Join Plan(
        LaunchPlan plan, LegPlan[] legPlans, double takeoffS, double landingS, Knot atTakeoff, Knot atLanding)
    {
        var upperTakeoff = Upper(plan.TakeoffUpper, true);
        var upperLanding = Upper(plan.LandingUpper, false);
        var travel = plan.TravelMps * Choreography.Forward(plan.TravelHeadingRad);

        // Landing geometry does not depend on speeds: it fixes the drop of the centre of mass, thus the take-off velocity.
        var feet = new Vector3D[2];
        var headings = new Knot[2];
        for (var leg = 0; leg < 2; leg++)
        {
            feet[leg] = floor.AnkleEnd(leg);
            var own = Movement.Legs[leg].FootHeading.End.X;
            headings[leg] = new(
                own + (plan.PivotShare * (atTakeoff.X - Movement.Heading.End.X)), plan.PivotShare * atTakeoff.V, plan.PivotShare * atTakeoff.A);
        }

        var rise = new Vector3D(0, 0, plan.HeelRiseM);
        var pelvis = TakeoffPelvis(plan, legPlans, feet, atTakeoff.X, rise, headings);
        var takeoffLegs = new LegAtBoundary[2];
        var landingLegs = new LegAtBoundary[2];

        Vector3D velocity = default;
        Vector3D fall = default;
        Vector3D ankleFall = default;
        var takeoff = default((Vector3D Centre, Vector3D Velocity, Vector3D Acceleration));
        var landing = takeoff;
        for (var pass = 0; pass < 3; pass++)
        {
            ankleFall = (plan.LandingFallShare * new Vector3D(0, 0, pass < 2 ? fall.Z : landing.Velocity.Z)) + (plan.LandingDriftShare * travel);
            // First pass: only where the centres are; then with the true velocities, then with the pelvis' own fall.
            for (var leg = 0; leg < 2; leg++)
            {
                var up = plan.AnkleRiseShare * Math.Max(0.2, velocity.Z);
                var ankleUp = new Vector3D(0, 0, up) + (0.5 * up * Choreography.Forward(headings[leg].X)) + (0.1 * travel);
                var lead = legPlans[leg].LeadS;
                takeoffLegs[leg] = legPlans[leg].Pushes
                    ? new()
                    {
                        Held = true,
                        AnkleFromPelvis = feet[leg] + rise + (0.5 * plan.HeelRiseM * Choreography.Forward(headings[leg].X)) + (lead * ankleUp) - pelvis,
                        AnkleVelocityMps = ankleUp,
                        AnkleAccelerationMps2 = new(0, 0, AnklePullMps2),
                        FootHeading = headings[leg],
                    }
                    : Free(legPlans[leg].TakeoffJoints);
                landingLegs[leg] = legPlans[leg].Lands
                    ? new()
                    {
                        Held = true,
                        AnkleFromPelvis = LandingAnkle(plan, legPlans, leg, atLanding.X, ankleFall.Z),
                        AnkleVelocityMps = ankleFall,
                        AnkleAccelerationMps2 = AnkleLandingMps2,
                        FootHeading = atLanding,
                    }
                    : Free(legPlans[leg].LandingJoints);
            }

            takeoff = FloorContact.Join(Body, atTakeoff, upperTakeoff, takeoffLegs, velocity);
            landing = FloorContact.Join(Body, atLanding, upperLanding, landingLegs, fall);
            var first = legPlans[0].Lands && (!legPlans[1].Lands || legPlans[0].LagS <= legPlans[1].LagS) ? 0 : 1;
            var landingPelvisZ = Body.AnkleHeightM + legPlans[first].Stop.HeelM - landingLegs[first].AnkleFromPelvis.Z;
            var drop = pelvis.Z + takeoff.Centre.Z - (landingPelvisZ + landing.Centre.Z);
            var g = Gravity.StandardMps2;
            var up0 = (g * plan.FlightS / 2) - (drop / plan.FlightS);
            velocity = travel + new Vector3D(0, 0, up0);
            fall = travel + new Vector3D(0, 0, up0 - (g * plan.FlightS));
        }

        var tracks = new FlightTracks();
        LayUpper(plan, tracks, upperTakeoff, upperLanding, takeoffS, landingS);
        for (var leg = 0; leg < 2; leg++)
        {
            LayLeg(legPlans[leg], tracks.Joints[leg], takeoffLegs[leg].Joints, landingLegs[leg].Joints, takeoffS, landingS);
        }

        var path = FlightPath.Plan(
            Body, tracks, takeoffS, landingS, pelvis + takeoff.Centre, velocity, atTakeoff.X, plan.TurnRad);
        return new(path, tracks, pelvis, takeoff.Velocity, takeoff.Acceleration, landing.Velocity, landing.Acceleration, takeoffLegs, headings, fall, ankleFall);
    }

    private Vector3D TakeoffPelvis(
        LaunchPlan plan, LegPlan[] legPlans, Vector3D[] feet, double heading, Vector3D rise, Knot[] footHeadings)
    {
        var place = Vector3D.Zero;
        var count = 0;
        for (var leg = 0; leg < 2; leg++)
        {
            if (legPlans[leg].Pushes)
            {
                place += feet[leg] + (0.5 * plan.HeelRiseM * Choreography.Forward(footHeadings[leg].X));
                count++;
                if (!legPlans[1 - leg].Pushes)
                {
                    place -= 0.03 * Choreography.Side(leg) * Choreography.Left(heading);
                }
            }
        }

        place /= count;
        var travel = Choreography.Forward(plan.TravelHeadingRad);
        var now = floor.Pelvis;
        var reach = Vector3D.Dot(now - place, travel)
            + (0.5 * plan.SupportS * (Vector3D.Dot(floor.PelvisVelocity, travel) + plan.TravelMps));
        place += (plan.TakeoffAheadM ?? Math.Clamp(reach, -0.1, 0.22)) * travel;
        var length = Leg.LengthM(Body, plan.TakeoffKneeRad);
        var height = double.PositiveInfinity;
        for (var leg = 0; leg < 2; leg++)
        {
            if (legPlans[leg].Pushes)
            {
                var (sin, cos) = Math.SinCos(heading);
                var hip = place + Frame.Turn(Movement.HipOffset(leg), cos, sin);
                var ankle = feet[leg] + rise + (0.5 * plan.HeelRiseM * Choreography.Forward(footHeadings[leg].X));
                var (dx, dy) = (hip.X - ankle.X, hip.Y - ankle.Y);
                height = Math.Min(height, ankle.Z + Math.Sqrt((length * length) - (dx * dx) - (dy * dy)));
            }
        }

        return new(place.X, place.Y, height);
    }

    private Vector3D LandingAnkle(LaunchPlan plan, LegPlan[] legPlans, int leg, double heading, double fallMps)
    {
        var (sin, cos) = Math.SinCos(heading);
        var single = !legPlans[1 - leg].Lands;
        var inward = single ? Body.HipHalfWidthM - plan.LandingInwardM : plan.LandingInwardM;
        var flat = (plan.LandingAheadM * Choreography.Forward(plan.TravelHeadingRad))
            + Frame.Turn((1 - (inward / Body.HipHalfWidthM)) * Movement.HipOffset(leg), cos, sin);
        var hip = Frame.Turn(Movement.HipOffset(leg), cos, sin);
        var (dx, dy) = (flat.X - hip.X, flat.Y - hip.Y);
        var length = Leg.LengthM(Body, plan.LandingKneeRad);
        var lower = Math.Sqrt((length * length) - (dx * dx) - (dy * dy));
        return new(flat.X, flat.Y, -lower - (legPlans[leg].LagS * fallMps));
    }

    private static LegAtBoundary Free(Knot[] joints)
    {
        var leg = new LegAtBoundary { Held = false };
        joints.CopyTo(leg.Joints, 0);
        return leg;
    }

    private static Knot[] Upper(UpperKey key, bool takeoff)
    {
        // Arms swing through take-off; everything else passes it at rest.
        var armRate = takeoff ? 1.5 : 0;
        return
        [
            new(key.Pitch), new(key.Roll), new(key.Arms, armRate), new(key.ArmsForward, armRate),
            new(key.Arms, armRate), new(key.ArmsForward, armRate),
        ];
    }

    private static void LayUpper(
        LaunchPlan plan, FlightTracks tracks, Knot[] takeoff, Knot[] landing, double takeoffS, double landingS)
    {
        for (var i = 0; i < UpperTracks.Count; i++)
        {
            tracks.Upper[i].Start(takeoffS, takeoff[i]);
            foreach (var key in plan.UpperKeys)
            {
                var value = i switch { 0 => key.Pitch, 1 => key.Roll, 2 or 4 => key.Arms, _ => key.ArmsForward };
                tracks.Upper[i].Rest(takeoffS + (key.Share * plan.FlightS), value);
            }

            tracks.Upper[i].To(landingS, landing[i]);
        }
    }

    private static void LayLeg(LegPlan plan, Track[] joints, Knot[] takeoff, Knot[] landing, double takeoffS, double landingS)
    {
        for (var j = 0; j < 4; j++)
        {
            joints[j].Start(takeoffS, takeoff[j]);
            if (j == 3 && plan.Pushes && takeoff[3].V < -1)
            {
                // The knee runs out its extension and stops short of straight.
                var straightest = Math.Max(0.09, 0.35 * takeoff[3].X);
                var runOutS = Math.Clamp(2.0 * (takeoff[3].X - straightest) / -takeoff[3].V, 0.025, 0.09);
                var nextS = (plan.Keys.Count > 0 ? plan.Keys[0].Share : 1) * (landingS - takeoffS);
                if (runOutS < nextS - 0.06)
                {
                    joints[j].Rest(takeoffS + runOutS, straightest);
                }
            }

            foreach (var key in plan.Keys)
            {
                var value = j switch { 0 => key.Theta, 1 => key.Gamma, 2 => key.Phi, _ => key.Kappa };
                joints[j].Rest(takeoffS + (key.Share * (landingS - takeoffS)), value);
            }

            if (j == 3 && plan.Lands && landing[3].V > 1)
            {
                // The knee begins to give way before contact, from short of straight.
                var straightest = Math.Max(0.09, 0.6 * landing[3].X);
                var giveS = Math.Clamp(2.0 * (landing[3].X - straightest) / landing[3].V, 0.025, 0.09);
                if (landingS - giveS > joints[j].EndS + 0.06)
                {
                    joints[j].Rest(landingS - giveS, straightest);
                }
            }

            joints[j].To(landingS, landing[j]);
        }
    }

    private Launched Commit(
        LaunchPlan plan, LegPlan[] legPlans, Join join, double takeoffS, double landingS, double windUpS, Knot rate, Knot landingRate)
    {
        // Floor: pelvis down and up, feet flat until the heels rise, heading wound up.
        var now = floor.NowS;
        var lowestS = now + (plan.LowestShare * plan.SupportS);
        var pushS = takeoffS - lowestS;
        var upMps = join.TakeoffVelocity.Z;
        Movement.PelvisX.To(takeoffS, new(join.Pelvis.X, join.TakeoffVelocity.X, join.TakeoffAcceleration.X));
        Movement.PelvisY.To(takeoffS, new(join.Pelvis.Y, join.TakeoffVelocity.Y, join.TakeoffAcceleration.Y));
        var lowest = join.Pelvis.Z - (plan.PushShape * upMps * pushS);
        var start = Movement.PelvisZ.End;
        // A pelvis that is already low enough goes up in one sweep; a low point above it would be a jerk.
        if (lowest < start.X + (0.35 * Math.Min(0, start.V) * (lowestS - now)))
        {
            Movement.PelvisZ.To(lowestS, new Knot(lowest, 0, Math.Min(0.8 * upMps / pushS, 22)));
        }

        Movement.PelvisZ.To(takeoffS, new(join.Pelvis.Z, upMps, join.TakeoffAcceleration.Z));
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
            CommitLeg(plan, legPlans[leg], join, leg, takeoffS, windUpS);
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
                floor.StartFoot(leg, landingS, ankle, ankleVelocity, AnkleLandingMps2, heading);
                floor.StopFoot(leg, new(ankle.X, ankle.Y, Body.AnkleHeightM), legPlans[leg].Stop);
            }
        }

        floor.NowS = landingS;
        return new(takeoffS, landingS, join.Path, join.Fall, heading, ankleVelocity);
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

    private void CommitLeg(
        LaunchPlan plan, LegPlan legPlan, Join join, int leg, double takeoffS, double windUpS)
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
        else
        {
            var joints = legPlan.TakeoffJoints;
            floor.SwingTo(leg, takeoffS, joints[0], joints[1], joints[2], joints[3]);
        }

        for (var j = 0; j < 4; j++)
        {
            tracks.Joints[j].Append(join.Tracks.Joints[leg][j]);
        }
    }

    private sealed record Join(
        FlightPath Path, FlightTracks Tracks, Vector3D Pelvis, Vector3D TakeoffVelocity, Vector3D TakeoffAcceleration,
        Vector3D LandingVelocity, Vector3D LandingAcceleration, LegAtBoundary[] TakeoffLegs, Knot[] FootHeadings, Vector3D Fall, Vector3D AnkleFall);
}
