using FsCheck.Xunit;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Testing;

namespace Saltograph.Jumps.Tests;

public sealed class JumpTrackerTests
{
    // g T^2 / 8 with standard gravity; Bosco, Luhtanen and Komi 1983 (formula from memory, values by arithmetic).
    [Theory]
    [InlineData(0.40, 0.19613)]
    [InlineData(0.50, 0.30646)]
    [InlineData(0.60, 0.44130)]
    public void Height_follows_from_the_flight_time(double flightTimeS, double heightM)
    {
        var jump = Assert.Single(new TextbookJump { FlightTimeS = flightTimeS, SampleRateHz = 2000 }.Track().Jumps);
        Assert.Equal(flightTimeS, jump.FlightTimeS, 0.003);

        // 3 ms of flight time are 2.45 x 3 / 2 mm of height at 0.5 s (dh/dt = g T / 4).
        Assert.Equal(heightM, jump.HeightM, 0.005);
    }

    [Fact]
    public void Take_off_velocity_is_counted_from_the_last_rest()
    {
        // g T / 2 = 2.45166 m/s at 0.5 s, by arithmetic; 2 ms of g are 0.02 m/s.
        var jump = Assert.Single(new TextbookJump().Track().Jumps);
        Assert.Equal(2.45166, jump.TakeoffVelocityMps!.Value, 0.02);
        Assert.Equal(jump.HeightFlightTimeM!.Value, jump.HeightTakeoffVelocityM!.Value, 0.01);
    }

    [Fact]
    public void Absorption_ends_where_the_trunk_is_lowest()
    {
        // A half sine takes the velocity away exactly over its length; by symmetry the depth is half v D. Before it the
        // loading, 10 ms in which the body goes on falling at 2.45 to 2.5 m/s.
        var jump = Assert.Single(new TextbookJump { LandingS = 0.2 }.Track().Jumps);
        Assert.Equal(0.21, jump.AbsorptionTimeS!.Value, 0.02);
        Assert.Equal((2.45166 * 0.01) + (2.50 * 0.2 / 2), jump.AbsorptionDepthM!.Value, 0.01);
    }

    [Fact]
    public void Turns_are_told_by_phase_and_rate_with_left_positive()
    {
        // 400 deg/s for 0.45 s is 180 deg (by arithmetic).
        var jump = Assert.Single(new TextbookJump { FlightTimeS = 0.45, TurnRateRadps = 400 * Angles.RadPerDeg }.Track().Jumps);
        Assert.Equal(180, jump.TurnFlightDeg!.Value, 1.5);
        Assert.Equal(400, jump.TurnPreparationDeg!.Value, 1.0);
        Assert.Equal(400, jump.TurnRateTakeoffDps!.Value, 0.5);
        Assert.Equal(400, jump.TurnRateTopDps!.Value, 0.5);
        Assert.Equal(1, jump.InertiaGrowth!.Value, 0.01);
        Assert.Contains(QualityWords.RecoveryCut, jump.Quality, StringComparer.Ordinal);
    }

    [Fact]
    public void A_flight_below_the_minimum_is_not_recorded()
    {
        var facts = new TextbookJump { FlightTimeS = 0.19, LandingS = 0.1 }.Track(new() { MinimumVelocityFallMps = 1 });
        Assert.Empty(facts.Jumps);
        Assert.Equal(FlightRefusal.FlightTooShort, Assert.Single(facts.Refused).Why);
        Assert.Empty(facts.Landings);
    }

    [Fact]
    public void A_fall_without_push_off_is_not_a_jump()
    {
        var facts = new TextbookJump { PushShare = 0 }.Track();
        Assert.Empty(facts.Jumps);
        Assert.Equal(FlightRefusal.NoPushOff, Assert.Single(facts.Refused).Why);
    }

    [Fact]
    public void A_dip_on_bent_knees_is_not_a_jump()
    {
        var facts = new TextbookJump { FlightTimeS = 0.6, CarriedShare = 0.4 }.Track();
        Assert.Empty(facts.Jumps);
        Assert.Equal(FlightRefusal.NotWeightless, Assert.Single(facts.Refused).Why);
    }

    [Fact]
    public void Hanging_in_the_air_for_longer_than_a_flight_is_not_a_jump()
    {
        var facts = new TextbookJump { FlightTimeS = 1.5 }.Track();
        Assert.Empty(facts.Jumps);
        Assert.Equal(FlightRefusal.TooLong, Assert.Single(facts.Refused).Why);
    }

    [Fact]
    public void The_landing_is_told_within_90_ms_and_the_jump_within_a_second()
    {
        var jump = new TextbookJump();
        var tracker = new JumpTracker(new());
        tracker.SetSampleRate(Site.Trunk, jump.SampleRateHz);
        var facts = new JumpFacts();
        SampleTime? landingTold = null, jumpTold = null;
        foreach (var sample in jump.Samples())
        {
            tracker.Push(Site.Trunk, sample, facts);
            landingTold ??= facts.Landings.Count > 0 ? sample.Time : null;
            jumpTold ??= facts.Jumps.Count > 0 ? sample.Time : null;
        }

        Assert.InRange(landingTold!.Value.Seconds - jump.LandingTimeS, 0, 0.09);
        Assert.InRange(jumpTold!.Value.Seconds - jump.LandingTimeS, 0, 0.95);
        Assert.Equal(facts.Landings[0].AnchorTime, facts.Jumps[0].AnchorTime);
    }

    [Property(MaxTest = 30)]
    public void Strap_and_heading_do_not_matter(double a, double b, double c, double headingRad)
    {
        var turned = Rotation.FromRotationVector(new(Unit(a), Unit(b), Unit(c)));
        var plain = Assert.Single(new TextbookJump { TurnRateRadps = 3 }.Track().Jumps);
        var other = Assert.Single(new TextbookJump { TurnRateRadps = 3, BodyFromSensor = turned, HeadingRad = Unit(headingRad) }.Track().Jumps);
        Assert.Equal(plain.FlightTimeS, other.FlightTimeS, 1e-5);
        Assert.Equal(plain.TurnFlightDeg!.Value, other.TurnFlightDeg!.Value, 1e-6);
        Assert.Equal(plain.HeightM, other.HeightM, 1e-5);

        static double Unit(double value) => double.IsFinite(value) ? 3 * Math.Sin(value) : 0;
    }

    [Property(MaxTest = 30)]
    public void A_checkpoint_changes_nothing(ushort where)
    {
        var jump = new TextbookJump { TurnRateRadps = 2 };
        var samples = jump.Samples().ToArray();
        var whole = jump.Track();

        var cut = where % samples.Length;
        var facts = new JumpFacts();
        var first = new JumpTracker(new());
        first.SetSampleRate(Site.Trunk, jump.SampleRateHz);
        foreach (var sample in samples[..cut])
        {
            first.Push(Site.Trunk, sample, facts);
        }

        var second = new JumpTracker(new());
        second.Restore(first.Capture());
        foreach (var sample in samples[cut..])
        {
            // The captured memory must be a copy: what the first one sees afterwards may not reach the second.
            first.Push(Site.Trunk, samples[0] with { Time = sample.Time }, new());
            second.Push(Site.Trunk, sample, facts);
        }

        second.Complete(facts);
        Assert.Equal(whole.Landings, facts.Landings);
        Assert.Equivalent(whole.Jumps, facts.Jumps, strict: true);
    }

    [Fact]
    public void Samples_cost_no_memory()
    {
        var jump = new TextbookJump { FlightTimeS = 0.12 };
        var samples = jump.Samples().ToArray();
        var tracker = new JumpTracker(new());
        tracker.SetSampleRate(Site.Trunk, jump.SampleRateHz);
        var facts = new JumpFacts();
        Assert.Equal(0, Allocation.LeastBytes(pass =>
        {
            var shift = pass * (samples[^1].Time.Seconds + 0.002);
            for (var i = 0; i < samples.Length; i++)
            {
                tracker.Push(Site.Trunk, samples[i] with { Time = samples[i].Time.PlusSeconds(shift) }, facts);
            }
        }));
    }

    [Fact]
    public void Options_outside_their_range_are_refused_with_what_is_allowed()
    {
        var error = Assert.Throws<ArgumentOutOfRangeException>(() => new JumpTracker(new() { MinimumFlightTimeS = double.NaN }));
        Assert.Contains("MinimumFlightTimeS is NaN; allowed: 0.1 to 0.5", error.Message, StringComparison.Ordinal);
    }
}
