using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Motion;

/// <summary>Both ends of a flight and the path between them.</summary>
internal sealed record JumpJoin(
    FlightPath Path, FlightTracks Tracks, Vector3D Pelvis, Vector3D TakeoffVelocity, Vector3D TakeoffAcceleration,
    Vector3D LandingVelocity, Vector3D LandingAcceleration, LegAtBoundary[] TakeoffLegs, Knot[] FootHeadings, Vector3D Fall,
    Vector3D AnkleFall);

/// <summary>
/// Plans a flight so that floor and air join smoothly: the take-off velocity follows from the wanted flight time and the
/// postures at both ends (v = g T / 2 - d / T with d the drop of the centre of mass), the legs' rates from the feet.
/// </summary>
internal sealed class JumpPlanner(Choreography floor)
{
    /// <summary>Acceleration of the landing ankle at contact, m/s2: falling, and its backward swing slowing down.</summary>
    public static Vector3D AnkleLandingMps2(LaunchPlan plan) =>
        (7 * plan.TravelMps * Choreography.Forward(plan.TravelHeadingRad)) + new Vector3D(0, 0, -2);

    /// <summary>The foot is pulled on as it leaves the floor; it also keeps the knee from locking, m/s2.</summary>
    private const double AnklePullMps2 = 12;

    private const double StraightestKneeRad = 0.32;

    private BodyModel Body => floor.Body;

    private Movement Movement => floor.Movement;

    public JumpJoin Plan(
        LaunchPlan plan, LegPlan[] legPlans, double takeoffS, double landingS, Knot atTakeoff, Knot atLanding, bool coarse)
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
        var coastFrom = new Knot[]?[2];
        var landingLegs = new LegAtBoundary[2];

        Vector3D velocity = default;
        Vector3D fall = default;
        Vector3D ankleFall = default;
        var takeoff = default((Vector3D Centre, Vector3D Velocity, Vector3D Acceleration));
        var landing = takeoff;
        // The last passes change no posture: only the velocities settle.
        var shapes = plan.DropShare is null ? 2 : 5;
        for (var pass = 0; pass < shapes + 3; pass++)
        {
            ankleFall = (plan.LandingFallShare * new Vector3D(0, 0, pass == 0 ? fall.Z : landing.Velocity.Z)) + (plan.LandingDriftShare * travel);
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
                        AnkleAccelerationMps2 = AnkleLandingMps2(plan),
                        FootHeading = atLanding,
                    }
                    : Free(legPlans[leg].LandingJoints);
            }

            for (var leg = 0; leg < 2; leg++)
            {
                if (legPlans[leg].Coasts && coastFrom[leg] is not null)
                {
                    Coast(legPlans[leg], coastFrom[leg]!, takeoffLegs[leg], landingLegs[leg], plan.FlightS);
                }
            }

            takeoff = FloorContact.Join(Body, atTakeoff, upperTakeoff, takeoffLegs, velocity);
            landing = FloorContact.Join(Body, atLanding, upperLanding, landingLegs, fall);
            for (var leg = 0; leg < 2 && pass < shapes; leg++)
            {
                coastFrom[leg] = (Knot[])(legPlans[leg].Pushes ? takeoffLegs : landingLegs)[leg].Joints.Clone();
            }

            var first = legPlans[0].Lands && (!legPlans[1].Lands || legPlans[0].LagS <= legPlans[1].LagS) ? 0 : 1;
            var landingPelvisZ = Body.AnkleHeightM + legPlans[first].Stop.HeelM - landingLegs[first].AnkleFromPelvis.Z;
            var drop = pelvis.Z + takeoff.Centre.Z - (landingPelvisZ + landing.Centre.Z);
            var g = Gravity.StandardMps2;
            if (plan.DropShare is { } share && pass < shapes - 1)
            {
                // The pelvis shifts by more than the centre of mass does: the standing leg's share stays low.
                var lower = 1.1 * (drop - (share * g * plan.FlightS * plan.FlightS));
                pelvis = new(pelvis.X, pelvis.Y, Math.Min(pelvis.Z - lower, HighestPelvis(plan, legPlans, feet, atTakeoff.X, rise, headings, pelvis)));
            }

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
            Body, tracks, takeoffS, landingS, pelvis + takeoff.Centre, velocity, atTakeoff.X, plan.TurnRad, coarse);
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
            }
        }

        place /= count;
        var travel = Choreography.Forward(plan.TravelHeadingRad);
        var now = floor.Pelvis;
        var centreVelocity = floor.CentreNow().Velocity;
        var reach = Vector3D.Dot(now - place, travel)
            + (0.5 * plan.SupportS * (Vector3D.Dot(centreVelocity, travel) + plan.TravelMps));
        place += (plan.TakeoffAheadM ?? Math.Clamp(reach, -0.1, 0.32)) * travel;
        if (count == 1)
        {
            // Sideways the body goes on as it does, as far as the standing foot allows.
            var left = Choreography.Left(plan.TravelHeadingRad);
            var aside = Vector3D.Dot(now - place, left) + (0.5 * plan.SupportS * Vector3D.Dot(centreVelocity, left));
            place += Math.Clamp(aside, -0.09, 0.09) * left;
        }

        return new(place.X, place.Y, PelvisOver(plan.TakeoffKneeRad, plan, legPlans, feet, heading, rise, footHeadings, place));
    }

    private double HighestPelvis(
        LaunchPlan plan, LegPlan[] legPlans, Vector3D[] feet, double heading, Vector3D rise, Knot[] footHeadings, Vector3D place) =>
        PelvisOver(StraightestKneeRad, plan, legPlans, feet, heading, rise, footHeadings, place);

    /// <summary>Height of the pelvis at which the pushing legs (the more stretched of two) have the given bend.</summary>
    private double PelvisOver(
        double kneeRad, LaunchPlan plan, LegPlan[] legPlans, Vector3D[] feet, double heading, Vector3D rise, Knot[] footHeadings, Vector3D place)
    {
        var length = Leg.LengthM(Body, kneeRad);
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

        return height;
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

    /// <summary>Continues a leg over a short flight, losing two fifths of its rate: forward from the push, or back from the landing.</summary>
    private static void Coast(LegPlan plan, Knot[] held, LegAtBoundary takeoff, LegAtBoundary landing, double flightS)
    {
        var (target, direction) = plan.Pushes ? (landing, 1) : (takeoff, -1);
        for (var j = 0; j < 4; j++)
        {
            var limit = j == 3 ? 9.0 : 12.0;
            var rate = Math.Clamp(held[j].V, -limit, limit);
            var value = held[j].X + (direction * 0.8 * rate * flightS);
            target.Joints[j] = j == 3 ? new(Math.Clamp(value, 0.3, 2.0), 0.4 * rate) : new(value, 0.6 * rate);
        }
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
                joints[j].To(takeoffS + (key.Share * (landingS - takeoffS)), new Knot(value, j == 0 ? key.ThetaRate : 0));
            }

            if (j == 3 && plan.Lands && landing[3].V > 1)
            {
                // The knee begins to give way before contact, from short of straight.
                var straightest = Math.Max(0.09, 0.6 * landing[3].X);
                var giveS = Math.Clamp(2.0 * (landing[3].X - straightest) / landing[3].V, 0.06, 0.14);
                if (landingS - giveS > joints[j].EndS + 0.06)
                {
                    joints[j].Rest(landingS - giveS, straightest);
                }
            }

            joints[j].To(landingS, landing[j]);
        }
    }
}
