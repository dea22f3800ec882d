using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Jumps.Tests;

/// <summary>What the shank of the foot that leaves last adds to the fading push.</summary>
public sealed class ToeOffTests
{
    private const double G = Gravity.StandardMps2;

    // The body leaves at the same instant each time; only the shank tells that the toe left 3 ms earlier or later. The curves are the definition:
    // bent while the toe pushes, straight once the foot is free.
    [Theory]
    [InlineData(-0.003)]
    [InlineData(0)]
    [InlineData(0.003)]
    public void The_kink_in_the_shank_of_the_standing_foot_moves_the_take_off(double kinkAfterS)
    {
        var body = new TextbookJump();
        var alone = Assert.Single(body.Track().Jumps);
        var seen = Jump(body, standing => standing - kinkAfterS);
        Assert.Equal(Foot.Left, seen.TakeoffFoot);
        Assert.Equal(body.TakeoffS + kinkAfterS, seen.TakeoffTime.Seconds, 0.001);
        Assert.True(seen.Uncertainty.TakeoffS < alone.Uncertainty.TakeoffS);
    }

    [Fact]
    public void A_shank_that_is_read_too_seldom_or_shows_nothing_leaves_the_take_off_to_the_push()
    {
        var body = new TextbookJump();
        var steady = Jump(body, _ => -1);
        Assert.Equal(Jump(body with { SampleRateHz = 200 }, since => since).TakeoffTime.Seconds, body.TakeoffS, 0.004);
        Assert.Equal(steady.TakeoffTime.Seconds, body.TakeoffS, 0.004);
    }

    [Theory]
    [InlineData(0.03)]
    [InlineData(0.08)]
    public void A_shank_with_a_hole_at_the_take_off_leaves_it_to_the_push(double holeS)
    {
        var body = new TextbookJump();
        var seen = Jump(body, since => since, holeS);
        Assert.Equal(body.TakeoffS, seen.TakeoffTime.Seconds, 0.004);
        Assert.True(seen.Uncertainty.TakeoffS > Jump(body, since => since).Uncertainty.TakeoffS);
    }

    /// <summary>The body with a left foot that stands until it leaves and a right leg that swings.</summary>
    /// <param name="body">The trunk.</param>
    /// <param name="sinceKinkS">From time since the body's take-off to time since the kink, s.</param>
    /// <param name="holeS">Around the take-off nothing of the left shank is known for so long, s.</param>
    private static JumpRecord Jump(TextbookJump body, Func<double, double> sinceKinkS, double holeS = 0)
    {
        var tracker = new JumpTracker(new());
        foreach (var site in new[] { Site.Trunk, Site.AnkleLeft, Site.AnkleRight })
        {
            tracker.SetSampleRate(site, body.SampleRateHz);
        }

        var facts = new JumpFacts();
        foreach (var sample in body.Samples())
        {
            var sinceTakeoffS = sample.Time.Seconds - body.TakeoffS;
            if (Math.Abs(sinceTakeoffS) >= holeS / 2)
            {
                tracker.Push(Site.AnkleLeft, sample with { SpecificForceSensorMps2 = new(Forward(sinceKinkS(sinceTakeoffS)), 0, Up(sample)) }, facts);
            }

            tracker.Push(Site.AnkleRight, sample with { SpecificForceSensorMps2 = new(Swing(sinceTakeoffS), 0, Up(sample)) }, facts);
            tracker.Push(Site.Trunk, sample, facts);
        }

        tracker.Complete(facts);
        return Assert.Single(facts.Jumps);

        // Standing until the push is nearly over, then with the body.
        double Up(in MotionSample sample) =>
            sample.Time.Seconds < body.TakeoffS - body.UnloadingS ? G : sample.SpecificForceSensorMps2.Z;

        static double Swing(double sinceS) => sinceS is > -0.3 and < 0.1 ? 15 : 0;

        // A parabola over the last 30 ms, from 0 to 20 m/s2, then down by 1 m/s2 a millisecond until it is gone.
        static double Forward(double sinceS) =>
            sinceS < -0.030 ? 0 : sinceS < 0 ? 20 * Math.Pow(1 + (sinceS / 0.030), 2) : Math.Max(0, 20 - (1000 * sinceS));
    }
}
