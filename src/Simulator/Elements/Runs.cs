using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>Run-ups and running. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    /// <summary>Two steps and running steps that end on the pushing foot.</summary>
    private void RunUp(int push, int runningSteps, double effort)
    {
        var start = NowS;
        var heading = Floor.Heading + Random.Around(0, 0.2);
        var leg = runningSteps % 2 == 0 ? push : 1 - push;
        Step(1 - leg, 0.5, heading, 0.2, 0.9 * effort, 0.18, 0.03, FootStop.Soft);
        Step(leg, 0.42, heading, 0.42 * effort, 1.4 * effort, 0.22, 0.05, FootStop.Soft);
        LeaveRearFoot(1 - leg, 0.2, 1.5 * effort);
        var longest = 0.0;
        var way = Random.Unit();
        var (chasses, turning) = (way < 0.4, way is >= 0.4 and < 0.65);
        var spin = Random.Sign() * Random.Between(150, 420) * Angles.RadPerDeg;
        for (var i = 0; i < runningSteps; i++)
        {
            var flight = chasses ? Random.Between(0.06, 0.15) : Random.Between(0.05, 0.14);
            longest = Math.Max(longest, flight);
            var travelMps = (1.6 + (0.6 * i)) * effort;
            var run = chasses && i == 0
                ? ChassePlan(leg, flight, Random.Between(0.2, 0.28), travelMps) : RunPlan(leg, flight, Random.Between(0.17, 0.25), travelMps);
            // Turning steps: the body turns while it travels on, mostly over the standing foot.
            run = turning ? run with { TurnRad = spin * flight, PivotShare = 0.9, TravelMps = 0.8 * travelMps } : run;
            // The last step before a jump is taken lower, so that there is a way to push up.
            Launch(i == runningSteps - 1 ? run with { LandingKneeRad = Random.Between(0.6, 0.9) } : run);
            leg = 1 - leg;
        }

        Distractor(
            chasses ? DistractorKind.Chasse : turning ? DistractorKind.TurningSteps : DistractorKind.Running, start, longest);
    }

    /// <summary>Chasse: pushes off the front foot, closes the feet in the air and lands on the rear one.</summary>
    private LaunchPlan ChassePlan(int push, double flightS, double supportS, double travelMps)
    {
        var plan = RunPlan(push, flightS, supportS, travelMps);
        return plan with { LandingAheadM = Random.Between(0.03, 0.1), LandingKneeRad = Random.Between(0.32, 0.42), HeelRiseM = 0.07 };
    }

    private LaunchPlan RunPlan(int push, double flightS, double supportS, double travelMps)
    {
        var lead = new LegPlan
        {
            Pushes = false,
            Lands = true,
            Coasts = true,
            TakeoffJoints = [new(Random.Between(0.4, 0.65), 2), new(0), new(0), new(Random.Between(0.9, 1.3), -2)],
            Stop = new(Random.Between(0.01, 0.05), Random.Between(0.02, 0.035), Random.Between(0.65, 0.9), 0.02),
        };
        var rear = new LegPlan
        {
            Pushes = true,
            Lands = false,
            Coasts = true,
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
        LeaveRearFoot(1 - leg, 0.2, 1.5);
        var longest = 0.0;
        var speed = Random.Between(1.6, 3);
        for (var i = 0; i < steps; i++)
        {
            var flight = Random.Between(0.05, 0.17);
            longest = Math.Max(longest, flight);
            Launch(RunPlan(leg, flight, Random.Between(0.18, 0.27), speed));
            leg = 1 - leg;
        }

        RecoverOnOneLeg(leg, speed);
        Distractor(DistractorKind.Running, start, longest);
    }
}
