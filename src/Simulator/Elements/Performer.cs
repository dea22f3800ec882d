using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;
using Saltograph.Simulator.Session;

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

    /// <summary>What happens to her out of the ordinary.</summary>
    public IReadOnlyList<Episode> Episodes { get; init; } = [];

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
        var depth = fast ? Random.Between(0.10, 0.22) : Random.Between(0.15, 0.38);
        // A fast dip nearly unloads the floor; a squat hardly.
        var least = fast ? Random.Between(0.08, 0.4) : 0.6;
        var down = LongEnough(fast ? Random.Between(0.22, 0.38) : Random.Between(0.6, 1.4), -depth, least);
        var up = LongEnough(fast ? Random.Between(0.3, 0.5) : Random.Between(0.5, 1.3), depth, least);
        var hold = Random.Between(0.05, 0.6);
        var p = Floor.Pelvis;
        var back = 0.1 * depth * Choreography.Forward(Floor.Heading);
        var end = start + down + hold + up;
        Floor.HeadingTo(end, Floor.Heading);
        Floor.UpperTo(start + down, _postureLean + (1.2 * depth), 0, 0.2, Random.Between(0, 1.2));
        Floor.UpperTo(start + down + hold, null);
        Floor.UpperTo(end, _postureLean, 0, 0.12, 0);
        Go(start + down, p - back - new Vector3D(0, 0, depth), Vector3D.Zero);
        Go(start + down + hold, Floor.Pelvis, Vector3D.Zero);
        Go(end, new(p.X, p.Y, Floor.StandingPelvisM), Vector3D.Zero);
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
        var cruise = direction * Random.Between(320, 620 + (250 * Skill)) * Angles.RadPerDeg;
        var foot = Floor.AnkleEnd(leg);
        var rise = Random.Between(0.05, 0.09);
        var bendM = Random.Between(0.06, 0.15);
        var high = Floor.StandingPelvisM + rise - 0.012;
        var heading = Floor.Heading;

        // Bend, then rise onto the ball while the turn starts, then turn with friction's slow loss, then stop.
        var bendEnd = start + LongEnough(Random.Between(0.3, 0.6), -bendM, 0.4);
        var upS = LongEnough(Random.Between(0.26, 0.36), bendM + rise, 0.1);
        var spin = bendEnd + upS;
        var total = direction * 2 * Math.PI * turns;
        var slow = Random.Between(0.2, 0.4);
        var startTurn = 0.4 * cruise * Math.Min(upS, 0.4);
        var stopTurn = 0.45 * 0.8 * cruise * slow;
        var cruiseS = Math.Max(0.1, (total - startTurn - stopTurn) / (0.9 * cruise));
        var spinEnd = spin + cruiseS + slow;
        var down = LongEnough(Random.Between(0.3, 0.45), -rise, 0.4);
        var end = spinEnd + down;
        var wound = heading - (direction * Random.Between(0, 0.3));
        Floor.HeadingTo(bendEnd, wound);
        if (upS > 0.4)
        {
            Floor.HeadingTo(spin - 0.4, wound);
        }

        Floor.HeadingTo(spin, wound + startTurn, cruise);
        Floor.HeadingTo(spin + cruiseS, wound + startTurn + (0.9 * cruise * cruiseS), 0.8 * cruise);
        Floor.HeadingTo(spinEnd, wound + startTurn + (0.9 * cruise * cruiseS) + stopTurn);
        Floor.HeadingTo(end, Floor.Heading);
        Floor.UpperTo(bendEnd, _postureLean, 0, Random.Between(0.8, 1.3), 0.3);
        Floor.UpperTo(spin, Random.Around(0.02, 0.03), Random.Around(0, 0.03), Random.Between(0.3, 0.7), 0.7);
        Floor.UpperTo(spinEnd, null);
        Floor.UpperTo(end, _postureLean, 0, 0.5, 0.2);

        // The standing foot turns with the body on its ball.
        var own = Movement.Legs[leg].FootHeading;
        own.Rest(spin - Math.Min(upS, 0.4), own.End.X);
        own.To(spin, new Knot(own.End.X + startTurn, cruise));
        own.To(spin + cruiseS, new Knot(own.End.X + (0.9 * cruise * cruiseS), 0.8 * cruise));
        own.Rest(spinEnd, own.End.X + stopTurn);
        Floor.FootTo(leg, bendEnd, foot);
        Floor.FootTo(leg, spin, foot + new Vector3D(0, 0, rise));
        Floor.FootTo(leg, spinEnd, foot + new Vector3D(0, 0, rise));
        Floor.FootTo(leg, end, foot);

        var place = (Floor.Pelvis + foot) / 2;
        Go(bendEnd, new(place.X, place.Y, Floor.StandingPelvisM - bendM), Vector3D.Zero);
        GoOver(spin, foot, high, () =>
        {
            Floor.LiftFoot(other, bendEnd + (0.35 * upS), 0.2, 0.05, 0.5);
            Floor.SwingTo(other, spin, new(0.9), new(0), new(Choreography.Side(other) * 0.8), new(1.9));
        });
        GoOver(spinEnd, foot, high);
        Floor.SwingTo(other, end, new(0.3), new(0), new(0), new(0.9));
        GoOver(end, foot, Floor.StandingPelvisM - 0.03);
        CloseFeet(other, 0.7);
        Distractor(DistractorKind.Pirouette, start);
    }
}
