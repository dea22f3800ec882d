using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>Jumps of the other forms. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    private static readonly bool[] LeftOnly = [true, false];
    private static readonly bool[] RightOnly = [false, true];
    private static readonly bool[] BothFeet = [true, true];

    private static bool[] Only(int leg) => leg == 0 ? LeftOnly : RightOnly;

    /// <summary>How the foot that lands (0 left, 1 right; null: both) comes to rest.</summary>
    private FootStop DrawStop(int? foot)
    {
        // Stiff or soft: novices stop the foot in a shorter time and more on the whole foot.
        var brake = Math.Clamp(BySkill(0.023, 0.028, 0.006), 0.013, 0.045);
        var heel = Math.Clamp(BySkill(0.035, 0.055, 0.015), 0.012, 0.085);
        var twoPeaks = Random.Chance(0.45);
        var share = twoPeaks ? Random.Between(0.55, 0.75) : Random.Between(0.8, 0.95);
        return Stiffened(new(heel, brake, share, Random.Between(0.014, 0.028)), foot);
    }

    /// <summary>From two feet to two, with or without a turn.</summary>
    public void TwoFootJump()
    {
        var flight = Tired(Math.Clamp(BySkill(0.36, 0.48, 0.06), 0.25, 0.62));
        var turn = (Random.Chance(0.45) ? Random.Around(0, 8) : Random.Sign() * Random.Between(60, 540)) * Angles.RadPerDeg;
        var lag = Random.Chance(0.3) ? 0 : Random.Between(0.002, 0.03);
        var first = Random.Index(2);
        var stop = DrawStop(null);
        var tuck = Random.Chance(0.3) ? Random.Between(0.8, 1.9) : Random.Between(0.05, 0.35);
        var plan = StandingPlan(flight, turn) with
        {
            Left = PairLeg(first == 0 ? 0 : lag, Random.Chance(0.5) ? 0 : Random.Between(0.002, 0.015), tuck, stop),
            Right = PairLeg(first == 1 ? 0 : lag, 0, tuck, stop),
        };
        var launched = Launch(Thrust(plan, null));
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

    /// <summary>From one foot to the same.</summary>
    public void Hop()
    {
        var leg = Random.Index(2);
        StandOnOne(leg);
        var flight = Tired(Math.Clamp(BySkill(0.28, 0.36, 0.04), 0.24, 0.45));
        var turn = (Random.Chance(0.6) ? Random.Around(0, 8) : Random.Sign() * Random.Between(45, 270)) * Angles.RadPerDeg;
        var held = new LegPlan { Pushes = true, Lands = true, Keys = [new(0.5, 0.05, 0, 0, 0.3)], Stop = DrawStop(leg) };
        var free = FreeLegPlan();
        var plan = StandingPlan(flight, turn) with
        {
            Left = leg == 0 ? held : free,
            Right = leg == 0 ? free : held,
            SupportS = Random.Between(0.4, 0.7),
            LandingAheadM = Random.Between(0, 0.08),
            TravelMps = Random.Between(0, 0.8),
        };
        var launched = Launch(Thrust(plan, leg));
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
        var flight = Tired(Math.Clamp(BySkill(0.32, 0.44, 0.05), 0.25, 0.55));
        var turn = (Random.Chance(0.6) ? Random.Around(0, 8) : Random.Sign() * Random.Between(45, 200)) * Angles.RadPerDeg;
        var stop = DrawStop(null);
        var lag = Random.Between(0.002, 0.035);
        var first = Random.Index(2);
        var pushing = new LegPlan
        {
            Pushes = true,
            Lands = true,
            LagS = first == push ? 0 : lag,
            Keys = [new(0.5, -0.2, 0, 0, 0.3)],
            Stop = stop,
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
        var launched = Launch(Thrust(plan, null));
        Jumps.Add(new(JumpForm.Assemble, Only(push), BothFeet, launched, launched.LandingS + lag, double.NaN, 0, 1, first));
        RecoverOnTwoLegs(first, lag, stop, launched);
    }

    /// <summary>From two feet to one.</summary>
    public void Sissonne()
    {
        var land = Random.Index(2);
        var flight = Tired(Math.Clamp(BySkill(0.30, 0.42, 0.05), 0.25, 0.52));
        var turn = (Random.Chance(0.7) ? Random.Around(0, 8) : Random.Sign() * Random.Between(45, 150)) * Angles.RadPerDeg;
        var open = Random.Between(0.6, 1.5);
        var landing = new LegPlan { Pushes = true, Lands = true, Keys = [new(0.45, 0.7 * open, 0, 0, 0.15)], Stop = DrawStop(land) };
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
        var launched = Launch(Thrust(plan, land));
        Jumps.Add(new(JumpForm.Sissonne, BothFeet, Only(land), launched, null, double.NaN, 0, 1, land));
        RecoverOnOneLeg(land, plan.TravelMps);
    }
}
