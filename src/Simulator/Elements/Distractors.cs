using Saltograph.Imu;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Elements;

/// <summary>What happens in a hall and is no jump. Part of <see cref="Performer"/>.</summary>
internal sealed partial class Performer
{
    private Vector3D BetweenFeet => (Floor.AnkleEnd(0) + Floor.AnkleEnd(1)) / 2;

    /// <summary>Jogging on the spot or nearly so.</summary>
    public void Jog(int steps)
    {
        var start = NowS;
        var leg = Random.Index(2);
        StandOnOne(leg);
        var longest = 0.0;
        for (var i = 0; i < steps; i++)
        {
            var flight = Random.Between(0.05, 0.13);
            longest = Math.Max(longest, flight);
            Launch(RunPlan(leg, flight, Random.Between(0.18, 0.26), Random.Between(0.1, 0.6)) with { LandingAheadM = 0.04 });
            leg = 1 - leg;
        }

        RecoverOnOneLeg(leg, 0.3);
        Distractor(DistractorKind.Jogging, start, longest);
    }

    /// <summary>Trunk bent deeply forward, held, up again; the hips go back so that the body stays over the feet.</summary>
    public void DeepBend()
    {
        var start = NowS;
        var down = Random.Between(0.9, 1.8);
        var hold = Random.Between(0.2, 1.2);
        var up = Random.Between(0.9, 1.7);
        var end = start + down + hold + up;
        var arms = Random.Between(0.5, 1.6);
        Floor.HeadingTo(end, Floor.Heading);
        Floor.UpperTo(start + down, Random.Between(1.1, 1.75), 0, 0.3, arms);
        Floor.UpperTo(start + down + hold, null);
        Floor.UpperTo(end, _postureLean, 0, 0.12, 0);
        GoOver(end, BetweenFeet, Floor.StandingPelvisM);
        Distractor(DistractorKind.DeepBend, start);
    }

    /// <summary>An apparatus thrown up and perhaps caught: arms fast, knees a little.</summary>
    public void ArmThrow()
    {
        var start = NowS;
        var depth = Random.Between(0.04, 0.1);
        var down = LongEnough(Random.Between(0.4, 0.7), -depth, 0.35);
        var up = LongEnough(Random.Between(0.35, 0.5), depth, 0.3);
        var end = start + down + up + 0.9;
        Floor.HeadingTo(end, Floor.Heading);
        Floor.UpperTo(start + down, _postureLean + 0.15, 0, 0.2, -Random.Between(0.3, 0.8));
        Floor.UpperTo(start + down + Random.Between(0.28, 0.4), _postureLean - 0.05, 0, 0.2, Random.Between(2.2, 3.0));
        Floor.UpperTo(end, _postureLean, 0, 0.12, 0);
        GoOver(start + down, BetweenFeet, Floor.StandingPelvisM - depth);
        GoOver(start + down + up, BetweenFeet, Floor.StandingPelvisM);
        GoOver(end, BetweenFeet, Floor.StandingPelvisM);
        Distractor(DistractorKind.ArmThrow, start);
    }

    /// <summary>Steps up on a box and down again.</summary>
    public void Stairs(int times)
    {
        var start = NowS;
        for (var i = 0; i < times; i++)
        {
            var height = Random.Between(0.12, 0.28);
            var leg = Random.Index(2);
            Floor.LevelM = height;
            Step(leg, Random.Between(0.65, 0.9), Floor.Heading, 0.22, 0.25, 0.16, 0.05 + (0.9 * height), FootStop.Soft);
            CloseFeet(1 - leg, Random.Between(0.7, 0.9));
            Stand(Random.Between(0.4, 0.9));
            Floor.LevelM = 0;
            Step(leg, Random.Between(0.6, 0.85), Floor.Heading, 0.22, 0.25, 0.16, 0.04, FootStop.Soft with { BrakeS = 0.03 });
            CloseFeet(1 - leg, Random.Between(0.7, 0.9));
        }

        Distractor(DistractorKind.Stairs, start);
    }

    /// <summary>Sits down on the floor, rocks back with the legs up, rolls forward again and gets up; hands help.</summary>
    public void FloorWork()
    {
        var start = NowS;
        var heading = Floor.Heading;
        var ahead = Choreography.Forward(heading);
        var feet = BetweenFeet;
        var seat = new Vector3D(feet.X, feet.Y, 0.13) - (0.34 * ahead);
        var t = start + Random.Between(1.3, 2.2);
        Floor.PelvisTo(t, seat);
        Floor.UpperTo(t, 0.25, 0, 0.4, 0.6);
        Shake(Site.Trunk, t - 0.05, 0.12, 18, Random.Between(0.8, 3), Vector3D.UnitZ);
        var rocks = 1 + Random.Index(3);
        var sitting = t + Random.Between(0.3, 1);
        Floor.PelvisTo(sitting, seat);
        Floor.UpperTo(sitting, 0.1, Random.Around(0, 0.1));
        var back = sitting;
        for (var i = 0; i < rocks; i++)
        {
            back += Random.Between(0.7, 1.4);
            Floor.PelvisTo(back, seat - (0.06 * ahead) + new Vector3D(0, 0, Random.Between(0, 0.06)));
            Floor.UpperTo(back, -Random.Between(1.0, 1.5), Random.Around(0, 0.25), Random.Between(0.3, 1.2), Random.Between(0.3, 2));
            back += Random.Between(0.6, 1.3);
            Floor.PelvisTo(back, seat);
            Floor.UpperTo(back, Random.Between(-0.6, 0.2), Random.Around(0, 0.15));
        }

        var upright = back + Random.Between(0.6, 1.0);
        Floor.PelvisTo(upright, seat);
        Floor.UpperTo(upright, 0.35, 0, 0.4, 0.9);
        Floor.HeadingTo(upright, heading);
        var lift = sitting + 0.25;
        for (var leg = 0; leg < 2; leg++)
        {
            var place = Floor.AnkleEnd(leg);
            Floor.LiftFoot(leg, lift + (0.05 * leg), 0.2, 0.03, 0.25);
            for (var s = lift + 0.7; s < back - 0.5; s += 0.9)
            {
                Floor.SwingTo(leg, s, new(Random.Between(1.3, 2.4)), new(0), new(0), new(Random.Between(0.2, 1.2)));
            }

            Floor.PlantFoot(leg, upright - 0.1 + (0.05 * leg), place, new(0, 0, -0.25), new(heading), FootStop.Soft);
        }

        // Hands push; then the feet carry.
        var standing = upright + Random.Between(1.3, 2.2);
        Floor.PelvisTo(standing, new(feet.X, feet.Y, Floor.StandingPelvisM));
        Floor.UpperTo(standing, _postureLean, 0, 0.12, 0);
        Floor.HeadingTo(standing, heading);
        Floor.NowS = standing;
        Settle(0.3);
        Distractor(DistractorKind.FloorWork, start);
    }

    /// <summary>Something hits a sensor, once to three times, while standing.</summary>
    public void Knocks()
    {
        var start = NowS;
        Stand(Random.Between(1.2, 2.5));
        for (var i = Random.Index(3); i >= 0; i--)
        {
            Shake(
                (Site)Random.Index(Sites.Count), Random.Between(start + 0.2, NowS - 0.2), Random.Between(0.02, 0.08), Random.Between(40, 120),
                Random.Between(3, 30), new(Random.Normal(), Random.Normal(), Random.Normal()));
        }

        Distractor(DistractorKind.SensorKnock, start);
    }

    /// <summary>Straps are put on (or taken off): each sensor is in a hand for a while.</summary>
    public void Handle(bool puttingOn)
    {
        var start = NowS;
        Stand(Random.Between(7, 12));
        foreach (var site in Enum.GetValues<Site>())
        {
            var (from, to) = puttingOn
                ? (start, NowS - Random.Between(0.5, 3))
                : (start + Random.Between(0.5, 3), NowS);
            Movement.Handled.Add(new(site, from, to, puttingOn, Random.Fork((ulong)site + 40)));
        }

        Distractor(DistractorKind.Handling, start);
    }

    private void Shake(Site site, double startS, double durationS, double frequencyHz, double peakG, Vector3D direction) =>
        Movement.Wobbles.Add(Wobble.Of(site, startS, durationS, frequencyHz, peakG, direction));

    /// <summary>What a launch shakes: now and then the shank that leaves last, and always the trunk soon after landing.</summary>
    private Launched Launch(LaunchPlan plan)
    {
        var launched = _launcher.Launch(plan);
        if (Random.Chance(0.4))
        {
            Shake(
                plan.Left.Pushes ? Site.AnkleLeft : Site.AnkleRight, launched.TakeoffS - Random.Between(0, 0.012), Random.Between(0.06, 0.11),
                Random.Between(16, 32), Random.Between(1, 4), new(1, Random.Around(0, 0.4), Random.Around(0, 0.6)));
        }

        var fall = -launched.LandingVelocity.Z;
        Shake(
            Site.Trunk, launched.LandingS + Random.Between(0.005, 0.02), Random.Between(0.05, 0.09), Random.Between(16, 28),
            Random.Between(0.1, 0.45) * fall, new(Random.Around(0.2, 0.2), Random.Around(0, 0.2), -1));
        return launched;
    }
}
