using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>Split leaps, alone and in series. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    /// <summary>Several split leaps in a row with a run-up; a single one when the count is 1.</summary>
    public void Leaps(int count) => Leaps(count, Random.Index(2), isDrill: false);

    private void Leaps(int count, int push, bool isDrill)
    {
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
            var plan = LeapPlan(push, wanted, support, isDrill);
            var launched = Launch(Thrust(plan, 1 - push));
            var (takeoff, landing) = (Only(push), Only(1 - push));
            Jumps.Add(new(JumpForm.Leap, takeoff, landing, launched, null, previousLanding, count > 1 ? id : 0, i + 1, 1 - push));
            previousLanding = launched.LandingS;
            push = 1 - push;
        }

        RecoverOnOneLeg(push, travel * 0.8);
    }

    private LaunchPlan LeapPlan(int push, double travelMps, double supportS, bool isDrill)
    {
        var lead = 1 - push;
        var flight = Tired(Math.Clamp(BySkill(0.34, 0.48, 0.05), 0.24, 0.62));
        // A short flight leaves no time to open far: about 4 deg per millisecond beyond 0.24 s.
        var split = Math.Min(Math.Clamp(BySkill(122, 178, 14), 90, 202), 100 + (400 * (flight - 0.24)) + Random.Around(0, 8)) * Angles.RadPerDeg;
        var front = split * Random.Around(0.5, 0.02);
        var rear = split - front;
        var turn = isDrill ? HalfTurnRad() : DrawLeapTurn();
        var openAt = Math.Clamp(BySkill(0.56, 0.42, 0.05), 0.3, 0.66);
        var hold = Math.Clamp(BySkill(0.02, 0.16, 0.05), 0.01, 0.3);
        var stag = Random.Chance(0.12);
        var soft = Math.Max(0.03, BySkill(0.35, 0.06, 0.1));
        var opening = Random.Around(0, 0.2 - (0.12 * Skill));
        var lean = Random.Around(0.03, 0.08);
        var roll = Random.Around(0, 0.04);
        // The landing leg comes down without haste: an eighth of a second and more the further it was up.
        var closeAt = Math.Max(0.3, Math.Min(1 - ((0.14 + (0.08 * front)) / flight), openAt + hold));
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
            Stop = DrawStop(lead),
        };
        var rearPlan = new LegPlan
        {
            Pushes = true,
            Lands = false,
            Keys = Held(
                flight, Math.Max(openAt + 0.06, 0.5) + Random.Around(0, 0.02), Math.Max(closeAt + 0.08, 0.62) + Random.Around(0, 0.02),
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

        // It is already closing slowly when it leaves the shape.
        return
        [
            first,
            shape with
            {
                Share = toShare,
                Kappa = Math.Max(0.75 * shape.Kappa, Math.Min(shape.Kappa, 0.2)),
                Theta = shape.Theta * (1 - (Random.Between(0.2, 0.5) * (toShare - fromShare))),
                ThetaRate = -Random.Between(0.5, 1.4) * shape.Theta,
            },
        ];
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
}
