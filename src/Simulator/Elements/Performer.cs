using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>
/// A gymnast: dances element after element. Every element draws its own parameters; skill (0 novice to 1 expert) moves the
/// distributions.
/// </summary>
internal sealed partial class Performer
{
    private readonly Launcher _launcher;
    private readonly double _postureLean;
    private int _series;

    public Performer(BodyModel body, double skill, Pcg32 random, double startS)
    {
        Body = body;
        Skill = skill;
        Random = random;
        Floor = new(body, random, startS, random.Between(-Math.PI, Math.PI));
        _launcher = new(Floor);
        _postureLean = random.Around(0.05, 0.04);
    }

    public BodyModel Body { get; }

    public double Skill { get; }

    public Pcg32 Random { get; }

    public Choreography Floor { get; }

    public Movement Movement => Floor.Movement;

    public double NowS => Floor.NowS;

    public List<PlannedJump> Jumps { get; } = [];

    public List<PlannedDistractor> Distractors { get; } = [];

    /// <summary>Between the novice's and the expert's value, with a spread.</summary>
    private double BySkill(double novice, double expert, double spread) =>
        Random.Around(novice + ((expert - novice) * Skill), spread);

    private void Distractor(DistractorKind kind, double startS, double longestFlightS = 0) =>
        Distractors.Add(new(kind, startS, NowS, longestFlightS));

    public void StandStill(double durationS)
    {
        var start = NowS;
        Stand(durationS);
        Distractor(DistractorKind.Standing, start);
    }

    public void Walk(int steps)
    {
        var start = NowS;
        var heading = Floor.Heading;
        var speed = Random.Between(0.7, 1.5);
        var leg = Random.Index(2);
        for (var i = 0; i < steps; i++)
        {
            heading += Random.Around(0, 0.25);
            var duration = Random.Around(0.62 - (0.12 * speed), 0.03);
            var travel = i == 0 ? 0.3 * speed * duration : speed * duration;
            Step(leg, duration, heading, travel, speed, 0.42 * speed * duration, 0.035, FootStop.Soft);
            leg = 1 - leg;
        }

        StopWalking(leg);
        Distractor(DistractorKind.Walking, start);
    }

    /// <summary>One last step without speed, then feet together.</summary>
    private void StopWalking(int leg)
    {
        var heading = Floor.Heading;
        var speed = Floor.PelvisVelocity.Length;
        Step(leg, 0.55, heading, 0.3 * speed, 0, 0.1, 0.02, FootStop.Soft);
        CloseFeet(1 - leg, 0.6);
    }

    public void Squat(bool fast)
    {
        var start = NowS;
        var down = fast ? Random.Between(0.22, 0.38) : Random.Between(0.6, 1.4);
        var depth = fast ? Random.Between(0.10, 0.22) : Random.Between(0.15, 0.38);
        var up = fast ? Random.Between(0.3, 0.5) : Random.Between(0.5, 1.3);
        var hold = Random.Between(0, 0.6);
        var p = Floor.Pelvis;
        var direction = Choreography.Forward(Floor.Heading);
        Floor.PelvisTo(start + down, p - (0.15 * depth * direction) - new Vector3D(0, 0, depth));
        Floor.UpperTo(start + down, _postureLean + (1.2 * depth), 0, 0.2, Random.Between(0, 1.2));
        Floor.PelvisTo(start + down + hold + 0.05, Floor.Pelvis);
        Floor.PelvisTo(start + down + hold + up, new(p.X, p.Y, Floor.StandingPelvisM));
        Floor.UpperTo(start + down + hold + up, _postureLean, 0, 0.12, 0);
        Floor.HeadingTo(start + down + hold + up, Floor.Heading);
        Floor.NowS = start + down + hold + up;
        Distractor(fast ? DistractorKind.FastDip : DistractorKind.Squat, start);
    }

    /// <summary>Turns on the ball of one foot: the other foot at the knee.</summary>
    public void Pirouette()
    {
        var start = NowS;
        var leg = Random.Index(2);
        var other = 1 - leg;
        var direction = Random.Sign();
        var turns = Random.Index(3) + 1 + (Random.Chance(0.3) ? 0.5 : 0);
        var peakRate = Random.Between(320, 620 + (250 * Skill)) * Angles.RadPerDeg;
        var turnS = 2 * Math.PI * turns / (0.72 * peakRate);
        var foot = Floor.AnkleEnd(leg);
        var rise = Random.Between(0.05, 0.09);
        var heading = Floor.Heading;
        var over = foot - (0.02 * Choreography.Side(leg) * Choreography.Left(heading));
        var t = start;

        // Bend, then rise onto the ball while the turn starts.
        t += Random.Between(0.3, 0.6);
        Floor.PelvisTo(t, new((Floor.Pelvis.X + over.X) / 2, (Floor.Pelvis.Y + over.Y) / 2, Floor.StandingPelvisM - Random.Between(0.06, 0.15)));
        Floor.HeadingTo(t, heading - (direction * Random.Between(0, 0.3)));
        Floor.UpperTo(t, _postureLean, 0, Random.Between(0.8, 1.3), 0.3);
        var bend = t;
        var up = Random.Between(0.2, 0.32);
        t += up;
        Floor.PelvisTo(t, new(over.X, over.Y, Floor.StandingPelvisM + rise - 0.012));
        Floor.FootTo(leg, bend, foot);
        Floor.FootTo(leg, t, foot + new Vector3D(0, 0, rise));
        Floor.UpperTo(t, Random.Around(0.02, 0.03), Random.Around(0, 0.03), Random.Between(0.3, 0.7), 0.7);
        var spin = t;
        var slow = Math.Min(0.35, turnS * 0.3);
        var total = direction * 2 * Math.PI * turns;
        var cruise = direction * peakRate * Random.Between(0.9, 1.0);
        // Start over the rise, cruise with friction's slow loss, stop within the last part.
        var startTurn = 0.4 * cruise * up;
        var stopTurn = 0.45 * 0.8 * cruise * slow;
        var cruiseS = Math.Max(0.1, (total - startTurn - stopTurn) / (0.9 * cruise));
        var h = Floor.Heading;
        Floor.HeadingTo(spin, h + startTurn, cruise);
        Floor.HeadingTo(spin + cruiseS, h + startTurn + (0.9 * cruise * cruiseS), 0.8 * cruise);
        Floor.HeadingTo(spin + cruiseS + slow, h + startTurn + (0.9 * cruise * cruiseS) + stopTurn);
        Floor.LiftFoot(other, bend + 0.03, 0.2, 0.05, 0.7);
        Floor.SwingTo(other, t, new(0.9), new(0), new(Choreography.Side(other) * 0.8), new(1.9));
        // The standing foot turns with the body on its ball.
        var own = Movement.Legs[leg].FootHeading;
        own.Rest(bend, own.End.X);
        own.To(spin, new Knot(own.End.X + startTurn, cruise));
        own.To(spin + cruiseS, new Knot(own.End.X + (0.9 * cruise * cruiseS), 0.8 * cruise));
        own.Rest(spin + cruiseS + slow, own.End.X + stopTurn);
        t = spin + cruiseS + slow;
        for (var s = spin; s < t - 0.2;)
        {
            s = t - s < 0.45 ? t : s + 0.3;
            Floor.PelvisTo(s, new(over.X + Random.Around(0, 0.006), over.Y + Random.Around(0, 0.006), Floor.StandingPelvisM + rise - 0.012));
        }

        var held = Floor.AnkleEnd(leg);
        Floor.FootTo(leg, t, held);
        var down = Random.Between(0.25, 0.4);
        Floor.PelvisTo(t + down, new(over.X, over.Y, Floor.StandingPelvisM - 0.03));
        Floor.HeadingTo(t + down, Floor.Heading);
        Floor.FootTo(leg, t + down, held - new Vector3D(0, 0, rise));
        Floor.UpperTo(t + down, _postureLean, 0, 0.5, 0.2);
        Floor.SwingTo(other, t + down, new(0.3), new(0), new(0), new(0.9));
        Floor.NowS = t + down;
        CloseFeet(other, 0.6);
        Distractor(DistractorKind.Pirouette, start);
    }
}
