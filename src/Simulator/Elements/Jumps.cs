using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>Jumps of all forms. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    private static readonly bool[] LeftOnly = [true, false];
    private static readonly bool[] RightOnly = [false, true];
    private static readonly bool[] BothFeet = [true, true];

    private static bool[] Only(int leg) => leg == 0 ? LeftOnly : RightOnly;

    private FootStop DrawStop(double flightS)
    {
        // Stiff or soft: novices stop the foot in a shorter time and more on the whole foot.
        var brake = Math.Clamp(BySkill(0.030, 0.036, 0.007), 0.018, 0.055);
        var heel = Math.Clamp(BySkill(0.035, 0.055, 0.015), 0.012, 0.085);
        var twoPeaks = Random.Chance(0.45);
        var share = twoPeaks ? Random.Between(0.55, 0.75) : Random.Between(0.8, 0.95);
        _ = flightS;
        return new(heel, brake, share, Random.Between(0.014, 0.028));
    }

    /// <summary>Several split leaps in a row with a run-up; a single one when the count is 1.</summary>
    public void Leaps(int count)
    {
        var push = Random.Index(2);
        RunUp(push, Random.Index(3) + 1, 0.6 + (0.4 * Skill));
        var id = ++_series;
        var previousLanding = double.NaN;
        var travel = Math.Clamp(BySkill(2.0, 2.8, 0.35), 1.0, 3.6);
        for (var i = 0; i < count; i++)
        {
            // The body can travel about half a metre over a foot: fast leaps leave it sooner.
            var speed = new Vector3D(Floor.CentreNow().Velocity.X, Floor.CentreNow().Velocity.Y, 0).Length;
            var wanted = Math.Max(0.6, Math.Min(travel * (1 - (0.08 * i)), speed + (i == 0 ? 0.2 : 0)));
            var support = Math.Clamp(Random.Between(0.4, 0.5) / (0.5 * (speed + wanted)), 0.17, i == 0 ? 0.3 : 0.42);
            var plan = LeapPlan(push, wanted, support);
            var launched = _launcher.Launch(plan);
            var (takeoff, landing) = (Only(push), Only(1 - push));
            Jumps.Add(new(JumpForm.Leap, takeoff, landing, launched, null, previousLanding, count > 1 ? id : 0, i + 1, 1 - push));
            previousLanding = launched.LandingS;
            push = 1 - push;
        }

        RecoverOnOneLeg(push, travel * 0.8);
    }

    private LaunchPlan LeapPlan(int push, double travelMps, double supportS)
    {
        var lead = 1 - push;
        var flight = Math.Clamp(BySkill(0.34, 0.48, 0.05), 0.24, 0.62);
        var split = Math.Clamp(BySkill(122, 178, 14), 90, 202) * Angles.RadPerDeg;
        var front = split * Random.Around(0.5, 0.02);
        var rear = split - front;
        var turn = DrawLeapTurn();
        var openAt = Math.Clamp(BySkill(0.56, 0.42, 0.05), 0.3, 0.66);
        var hold = Math.Clamp(BySkill(0.02, 0.16, 0.05), 0.01, 0.3);
        var stag = Random.Chance(0.12);
        var soft = Math.Max(0.03, BySkill(0.35, 0.06, 0.1));
        var opening = Random.Around(0, 0.2 - (0.12 * Skill));
        var lean = Random.Around(0.03, 0.08);
        var roll = Random.Around(0, 0.04);
        // The landing leg needs about 0.13 s to come down.
        var closeAt = Math.Min(1 - (0.13 / flight), openAt + hold);
        openAt = Math.Min(openAt, closeAt - 0.01);
        var leadPlan = new LegPlan
        {
            Pushes = false,
            Lands = true,
            TakeoffJoints =
            [
                new(Random.Between(0.35, 0.9), Random.Between(4.5, 8)), new(Random.Around(0, 0.05)), new(Random.Around(0, 0.1)),
                new(stag ? 1.4 : Random.Between(0.25, 1.1), stag ? 0 : -3),
            ],
            Keys = Held(flight, openAt, closeAt, new(0, front, 0, 0, stag ? Random.Between(1.2, 1.9) : soft)),
            Stop = DrawStop(flight),
        };
        var rearPlan = new LegPlan
        {
            Pushes = true,
            Lands = false,
            Keys = Held(
                flight, openAt + Random.Around(0.0, 0.02), closeAt + Random.Between(0.02, 0.06),
                new(0, -rear, 0, opening, Math.Max(0.03, Random.Around(soft + 0.1, 0.1)))),
            LandingJoints = [new(-Random.Between(0.6, 1.15), Random.Between(1.5, 4)), new(0), new(opening * 0.5), new(Random.Between(0.25, 0.8))],
        };
        var arms = Random.Between(0.6, 1.3);
        return new()
        {
            Left = push == 0 ? rearPlan : leadPlan,
            Right = push == 0 ? leadPlan : rearPlan,
            SupportS = supportS,
            LowestShare = Random.Between(0.38, 0.5),
            FlightS = flight,
            TravelHeadingRad = TravelHeading(),
            TravelMps = travelMps,
            TurnRad = turn,
            HighestRateRadps = 950 * Angles.RadPerDeg,
            WindUpS = Random.Between(0.16, 0.35),
            WindUpShare = Random.Between(0.3, 0.5),
            PivotShare = Random.Between(0.4, 0.95),
            TakeoffKneeRad = Random.Between(0.4, 0.6),
            HeelRiseM = Random.Between(0.05, 0.08),
            AnkleRiseShare = Random.Between(0.7, 0.9),
            LandingKneeRad = Math.Clamp(BySkill(0.42, 0.5, 0.1), 0.28, 0.8),
            LandingAheadM = Random.Between(0.14, 0.28),
            LandingFallShare = Random.Between(0.85, 1.02),
            LandingDriftShare = Random.Between(0.05, 0.25),
            TakeoffUpper = new(0, lean, roll, arms, Random.Around(0.2, 0.2)),
            UpperKeys = [new(0.5, lean + Random.Around(-0.04, 0.09), roll, Random.Between(1.1, 1.6), Random.Around(0.1, 0.2))],
            LandingUpper = new(1, lean + Random.Between(0, 0.15), Random.Around(0, 0.04), Random.Between(0.6, 1.3), 0.2),
            PushShape = Random.Between(0.48, 0.56),
        };
    }

    /// <summary>The shape reached, and held with a slow loss when there is time to hold it.</summary>
    private LegKey[] Held(double flightS, double fromShare, double toShare, LegKey shape)
    {
        var first = shape with { Share = fromShare };
        if ((toShare - fromShare) * flightS < 0.03)
        {
            return [first];
        }

        return [first, shape with { Share = toShare, Theta = shape.Theta * (1 - (Random.Between(0.05, 0.4) * (toShare - fromShare))) }];
    }

    private double DrawLeapTurn()
    {
        var kind = Random.Unit();
        var degrees = kind < 0.3 ? Random.Around(0, 12)
            : kind < 0.8 ? Random.Sign() * Random.Around(180, 35)
            : Random.Sign() * Random.Between(60, 400);
        return degrees * Angles.RadPerDeg;
    }

    private double TravelHeading()
    {
        var v = Floor.CentreNow().Velocity;
        return (v.X * v.X) + (v.Y * v.Y) > 0.09 ? Math.Atan2(v.Y, v.X) : Floor.Heading;
    }

    /// <summary>Two steps and running steps that end on the pushing foot.</summary>
    private void RunUp(int push, int runningSteps, double effort)
    {
        var start = NowS;
        var heading = Floor.Heading + Random.Around(0, 0.2);
        var leg = runningSteps % 2 == 0 ? push : 1 - push;
        Step(1 - leg, 0.5, heading, 0.2, 0.9 * effort, 0.18, 0.03, FootStop.Soft);
        Step(leg, 0.42, heading, 0.42 * effort, 1.4 * effort, 0.22, 0.05, FootStop.Soft);
        LeaveRearFoot(1 - leg, 0.15, 1.5 * effort);
        var longest = 0.0;
        for (var i = 0; i < runningSteps; i++)
        {
            var flight = Random.Between(0.05, 0.14);
            longest = Math.Max(longest, flight);
            var run = RunPlan(leg, flight, Random.Between(0.17, 0.25), (1.6 + (0.6 * i)) * effort);
            // The last step before a jump is taken lower, so that there is a way to push up.
            _launcher.Launch(i == runningSteps - 1 ? run with { LandingKneeRad = Random.Between(0.6, 0.9) } : run);
            leg = 1 - leg;
        }

        Distractor(DistractorKind.Running, start, longest);
    }

    private LaunchPlan RunPlan(int push, double flightS, double supportS, double travelMps)
    {
        var lead = new LegPlan
        {
            Pushes = false,
            Lands = true,
            TakeoffJoints = [new(Random.Between(0.4, 0.65), 2), new(0), new(0), new(Random.Between(0.9, 1.3), -2)],
            Stop = new(Random.Between(0.01, 0.05), Random.Between(0.02, 0.035), Random.Between(0.65, 0.9), 0.02),
        };
        var rear = new LegPlan
        {
            Pushes = true,
            Lands = false,
            LandingJoints = [new(-Random.Between(0.25, 0.5), 1.5), new(0), new(0), new(Random.Between(1.0, 1.5), 3)],
        };
        var lean = Random.Around(0.1, 0.04);
        return new()
        {
            Left = push == 0 ? rear : lead,
            Right = push == 0 ? lead : rear,
            SupportS = supportS,
            LowestShare = 0.45,
            FlightS = flightS,
            TravelHeadingRad = TravelHeading(),
            TravelMps = travelMps,
            TurnRad = Random.Around(0, 0.03),
            HeelRiseM = 0.06,
            HeelEarlyShare = 0.65,
            DropShare = Random.Between(0, 0.12),
            TakeoffKneeRad = 0.5,
            AnkleRiseShare = 0.9,
            LandingKneeRad = Random.Between(0.35, 0.5),
            // The foot meets the floor ahead of the body by about half of what the body travels over it.
            LandingAheadM = Math.Clamp(Random.Between(0.09, 0.12) * travelMps, 0.08, 0.3),
            LandingFallShare = 1.0,
            LandingDriftShare = 0.2,
            TakeoffUpper = new(0, lean, 0, 0.3, 0.4),
            LandingUpper = new(1, lean, 0, 0.3, -0.2),
        };
    }

    public void Run(int steps)
    {
        var start = NowS;
        var heading = Floor.Heading;
        var leg = Random.Index(2);
        Step(1 - leg, 0.5, heading, 0.2, 0.9, 0.18, 0.03, FootStop.Soft);
        Step(leg, 0.42, heading, 0.4, 1.4, 0.22, 0.05, FootStop.Soft);
        LeaveRearFoot(1 - leg, 0.15, 1.5);
        var longest = 0.0;
        var speed = Random.Between(1.6, 3);
        for (var i = 0; i < steps; i++)
        {
            var flight = Random.Between(0.05, 0.17);
            longest = Math.Max(longest, flight);
            _launcher.Launch(RunPlan(leg, flight, Random.Between(0.18, 0.27), speed));
            leg = 1 - leg;
        }

        RecoverOnOneLeg(leg, speed);
        Distractor(DistractorKind.Running, start, longest);
    }

    /// <summary>Takes the landing on one leg, steps out with the other and stands.</summary>
    private void RecoverOnOneLeg(int leg, double travelMps)
    {
        var start = NowS;
        var free = 1 - leg;
        var state = Floor.CentreNow();
        var endHeight = Floor.StandingPelvisM - Random.Between(0.05, 0.08);
        var rise = endHeight - Floor.Pelvis.Z;
        var absorption = DrawAbsorption(
            state, Math.Clamp(BySkill(0.15, 0.21, 0.035), 0.09, 0.34), Random.Between(0.18, 0.34), rise);
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
                Floor.PlantFoot(free, t1, foot, new(0, 0, -down), heading, FootStop.Soft);
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

    /// <summary>From two feet to two, with or without a turn.</summary>
    public void TwoFootJump()
    {
        var flight = Math.Clamp(BySkill(0.36, 0.48, 0.06), 0.25, 0.62);
        var turn = (Random.Chance(0.45) ? Random.Around(0, 8) : Random.Sign() * Random.Between(60, 540)) * Angles.RadPerDeg;
        var lag = Random.Chance(0.3) ? 0 : Random.Between(0.002, 0.03);
        var first = Random.Index(2);
        var stop = DrawStop(flight);
        var tuck = Random.Chance(0.3) ? Random.Between(0.8, 1.9) : Random.Between(0.05, 0.35);
        var plan = StandingPlan(flight, turn) with
        {
            Left = PairLeg(first == 0 ? 0 : lag, Random.Chance(0.5) ? 0 : Random.Between(0.002, 0.015), tuck, stop),
            Right = PairLeg(first == 1 ? 0 : lag, 0, tuck, stop),
        };
        var launched = _launcher.Launch(plan);
        var second = launched.LandingS + lag;
        Jumps.Add(new(JumpForm.Jump, BothFeet, BothFeet, launched, second, double.NaN, 0, 1, first));
        RecoverOnTwoLegs(first, lag, stop, launched);
    }

    private LegPlan PairLeg(double lagS, double leadS, double tuck, in FootStop stop) => new()
    {
        Pushes = true,
        Lands = true,
        LagS = lagS,
        LeadS = leadS,
        Keys = [new(Random.Between(0.45, 0.55), 0.45 * tuck, 0, 0, tuck)],
        Stop = stop,
    };

    private LaunchPlan StandingPlan(double flightS, double turnRad)
    {
        var lean = Random.Around(0.05, 0.05);
        var placeholder = new LegPlan { Pushes = true, Lands = true };
        return new()
        {
            Left = placeholder,
            Right = placeholder,
            SupportS = Random.Between(0.5, 0.95),
            LowestShare = Random.Between(0.5, 0.68),
            FlightS = flightS,
            TravelHeadingRad = Floor.Heading,
            TravelMps = Random.Between(0, 0.4),
            TurnRad = turnRad,
            WindUpS = Random.Between(0.2, 0.35),
            WindUpShare = Random.Between(0.25, 0.5),
            PivotShare = Random.Between(0.3, 0.8),
            TakeoffKneeRad = Random.Between(0.4, 0.55),
            TakeoffAheadM = Random.Between(-0.01, 0.03),
            HeelRiseM = Random.Between(0.05, 0.085),
            AnkleRiseShare = Random.Between(0.7, 0.9),
            LandingKneeRad = Random.Between(0.4, 0.8),
            LandingAheadM = Random.Between(-0.02, 0.06),
            LandingInwardM = Random.Between(0, 0.05),
            LandingFallShare = Random.Between(0.9, 1.02),
            TakeoffUpper = new(0, lean, Random.Around(0, 0.02), Random.Between(0.3, 1.5), Random.Between(0, 1)),
            UpperKeys = [new(0.5, lean + Random.Around(0, 0.05), Random.Around(0, 0.02), Random.Between(0.2, 1.5), Random.Between(0, 1.5))],
            LandingUpper = new(1, lean + Random.Between(0.05, 0.25), 0, Random.Between(0.3, 0.9), 0.3),
            PushShape = Random.Between(0.48, 0.56),
        };
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
                var fall = launched.AnkleLandingMps + (lagS * JumpPlanner.AnkleLandingMps2);
                var place = ankle + (lagS / 2 * (launched.AnkleLandingMps + fall));
                Floor.PlantFoot(
                    second, contact, new(place.X, place.Y, Body.AnkleHeightM), fall, Movement.Legs[first].FootHeading.Value(contact),
                    stop with { HeelM = place.Z - Body.AnkleHeightM }, JumpPlanner.AnkleLandingMps2);
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

    /// <summary>From one foot to the same.</summary>
    public void Hop()
    {
        var leg = Random.Index(2);
        StandOnOne(leg);
        var flight = Math.Clamp(BySkill(0.28, 0.36, 0.04), 0.24, 0.45);
        var turn = (Random.Chance(0.6) ? Random.Around(0, 8) : Random.Sign() * Random.Between(45, 270)) * Angles.RadPerDeg;
        var held = new LegPlan { Pushes = true, Lands = true, Keys = [new(0.5, 0.05, 0, 0, 0.3)], Stop = DrawStop(flight) };
        var free = FreeLegPlan();
        var plan = StandingPlan(flight, turn) with
        {
            Left = leg == 0 ? held : free,
            Right = leg == 0 ? free : held,
            SupportS = Random.Between(0.4, 0.7),
            LandingAheadM = Random.Between(0, 0.08),
            TravelMps = Random.Between(0, 0.8),
        };
        var launched = _launcher.Launch(plan);
        Jumps.Add(new(JumpForm.Hop, Only(leg), Only(leg), launched, null, double.NaN, 0, 1, leg));
        RecoverOnOneLeg(leg, plan.TravelMps);
    }

    private LegPlan FreeLegPlan() => new()
    {
        Pushes = false,
        Lands = false,
        TakeoffJoints = [new(Random.Between(0.4, 1.1), 2), new(0), new(0), new(Random.Between(0.8, 1.6))],
        Keys = [new(0.5, Random.Between(0.5, 1.3), 0, 0, Random.Between(0.6, 1.6))],
        LandingJoints = [new(Random.Between(0.2, 0.7), -1), new(0), new(0), new(Random.Between(0.5, 1.3))],
    };

    private void StandOnOne(int leg)
    {
        var start = NowS;
        var duration = Random.Between(0.6, 0.9);
        var foot = Floor.AnkleEnd(leg);
        var over = foot - (0.03 * Choreography.Side(leg) * Choreography.Left(Floor.Heading));
        Floor.HeadingTo(start + duration, Floor.Heading);
        Floor.UpperTo(start + duration, _postureLean, 0, 0.5, 0.2);
        Go(start + duration, new(over.X, over.Y, Floor.StandingPelvisM - 0.02), Vector3D.Zero, () =>
        {
            Floor.LiftFoot(1 - leg, start + (0.6 * duration), 0.2, 0.05, 0.4);
            Floor.SwingTo(1 - leg, start + duration, new(0.3), new(0), new(0), new(0.8));
        });
    }

    /// <summary>From one foot to two.</summary>
    public void Assemble()
    {
        var push = Random.Index(2);
        RunUp(push, Random.Index(2) + 1, 0.5);
        var flight = Math.Clamp(BySkill(0.32, 0.44, 0.05), 0.25, 0.55);
        var turn = (Random.Chance(0.6) ? Random.Around(0, 8) : Random.Sign() * Random.Between(45, 200)) * Angles.RadPerDeg;
        var stop = DrawStop(flight);
        var lag = Random.Between(0.002, 0.035);
        var first = Random.Index(2);
        var pushing = new LegPlan
        {
            Pushes = true, Lands = true, LagS = first == push ? 0 : lag, Keys = [new(0.5, -0.2, 0, 0, 0.3)], Stop = stop,
        };
        var swinging = new LegPlan
        {
            Pushes = false,
            Lands = true,
            LagS = first == push ? lag : 0,
            TakeoffJoints = [new(Random.Between(0.4, 0.9), 3), new(0), new(0), new(Random.Between(0.3, 0.9))],
            Keys = [new(0.45, Random.Between(0.5, 1.1), 0, 0, 0.2)],
            Stop = stop,
        };
        var plan = StandingPlan(flight, turn) with
        {
            Left = push == 0 ? pushing : swinging,
            Right = push == 0 ? swinging : pushing,
            SupportS = Random.Between(0.2, 0.3),
            LowestShare = 0.45,
            TakeoffAheadM = null,
            TravelHeadingRad = TravelHeading(),
            TravelMps = Random.Between(0.6, 1.4),
            LandingAheadM = Random.Between(0.1, 0.2),
        };
        var launched = _launcher.Launch(plan);
        Jumps.Add(new(JumpForm.Assemble, Only(push), BothFeet, launched, launched.LandingS + lag, double.NaN, 0, 1, first));
        RecoverOnTwoLegs(first, lag, stop, launched);
    }

    /// <summary>From two feet to one.</summary>
    public void Sissonne()
    {
        var land = Random.Index(2);
        var flight = Math.Clamp(BySkill(0.30, 0.42, 0.05), 0.25, 0.52);
        var turn = (Random.Chance(0.7) ? Random.Around(0, 8) : Random.Sign() * Random.Between(45, 150)) * Angles.RadPerDeg;
        var open = Random.Between(0.6, 1.5);
        var landing = new LegPlan { Pushes = true, Lands = true, Keys = [new(0.45, 0.7 * open, 0, 0, 0.15)], Stop = DrawStop(flight) };
        var free = new LegPlan
        {
            Pushes = true,
            Lands = false,
            Keys = [new(0.45, -open, 0, 0, 0.15)],
            LandingJoints = [new(-Random.Between(0.5, 1.0), 1.5), new(0), new(0), new(0.3)],
        };
        var plan = StandingPlan(flight, turn) with
        {
            Left = land == 0 ? landing : free,
            Right = land == 0 ? free : landing,
            TravelMps = Random.Between(0.5, 1.2),
            LandingAheadM = Random.Between(0.05, 0.18),
        };
        var launched = _launcher.Launch(plan);
        Jumps.Add(new(JumpForm.Sissonne, BothFeet, Only(land), launched, null, double.NaN, 0, 1, land));
        RecoverOnOneLeg(land, plan.TravelMps);
    }
}
