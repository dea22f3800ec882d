using Saltograph.Imu;
using Saltograph.Simulator.Elements;
using Saltograph.Simulator.Sensors;
using Saltograph.Simulator.Session;

namespace Saltograph.Simulator.Tests;

/// <summary>Many sessions against what is published of gymnasts and dancers, and the sensors against their options.</summary>
public sealed class PlausibilityTests
{
    private static readonly SimulatedAthlete[] Athletes =
        [.. Enumerable.Range(1, 6).Select(seed => SimulatedSession.Simulate(new() { Seed = (ulong)(seed + 300), DurationS = 120 })[0])];

    private static double Median(IEnumerable<double> values) => values.Order().ElementAt(values.Count() / 2);

    [Fact]
    public void Pelvis_peaks_are_near_those_of_ballet_and_below_the_shanks()
    {
        // Fallon et al. 2023: grand jete 2.99 +- 0.33 g, two-foot jumps up to 4.32 +- 0.52 g at the pelvis; plausibility only,
        // our measure is filtered at 60 Hz and contains turns.
        var leaps = Athletes.SelectMany(a => a.Jumps).Where(j => j.Form == JumpForm.Leap).ToList();
        Assert.True(leaps.Count >= 30);
        Assert.InRange(Median(leaps.Select(j => j.ShockTrunkG)), 2.3, 4.6);
        var larger = leaps.Count(j => (j.ShockAnkleLeftG ?? j.ShockAnkleRightG) > j.ShockTrunkG);
        Assert.True(larger > 0.95 * leaps.Count, $"{larger} of {leaps.Count}");
        // Shank: typical landing range 10 to 30 g (value from memory), rise 10 to 25 ms.
        Assert.InRange(Median(leaps.Select(j => j.ShockAnkleLeftG ?? j.ShockAnkleRightG ?? 0)), 8, 20);
        Assert.InRange(Median(leaps.Select(j => j.ShockRiseTimeS)), 0.008, 0.025);
    }

    [Fact]
    public void Turns_slow_down_as_the_legs_open_and_never_reach_the_gyroscopes_rail_at_the_trunk()
    {
        var turning = Athletes.SelectMany(a => a.Jumps).Where(j => j.Form == JumpForm.Leap && Math.Abs(j.TurnFlightDeg) > 60).ToList();
        Assert.True(turning.Count >= 12);
        Assert.InRange(Median(turning.Select(j => j.InertiaGrowth ?? 1)), 1.5, 5);
        Assert.All(turning, j => Assert.InRange(Math.Abs(j.TurnRatePeakDps), 60, 1500));
    }

    [Fact]
    public void The_trunk_rises_less_than_the_centre_of_mass_in_a_split()
    {
        // Legs swung up push the trunk down, by up to a tenth of a metre.
        var splits = Athletes.SelectMany(a => a.Jumps).Where(j => j.Form == JumpForm.Leap && j.SplitAngleDeg > 130).ToList();
        Assert.InRange(Median(splits.Select(j => j.HeightM - j.TrunkRiseM)), 0.02, 0.11);
    }

    [Fact]
    public void Nothing_but_jumps_flies_for_a_fifth_of_a_second()
    {
        var distractors = Athletes.SelectMany(a => a.Distractors).ToList();
        Assert.True(distractors.Count > 60);
        Assert.All(distractors, d => Assert.InRange(d.LongestFlightS, 0, 0.17));
        Assert.All(Athletes.SelectMany(a => a.Jumps), j => Assert.InRange(j.FlightTimeS, 0.2, 0.65));
        Assert.True(distractors.Select(d => d.Kind).Distinct().Count() >= 12);
    }

    [Fact]
    public void A_flat_foot_in_a_squat_holds_its_ankle_still()
    {
        var performer = MotionTests.Dance(5, 2);
        var squat = performer.Distractors.First(d => d.Kind == DistractorKind.Squat);
        var from = performer.Movement.At(squat.StartS).Left.Ankle;
        for (var t = squat.StartS; t < squat.EndS; t += 0.01)
        {
            Assert.True((performer.Movement.At(t).Left.Ankle - from).Length < 1e-3);
        }
    }

    [Fact]
    public void Standing_sensors_show_the_noise_bias_and_range_of_their_options()
    {
        var options = new SensorOptions();
        var biases = new List<double>();
        foreach (var athlete in Athletes)
        {
            foreach (var site in Enum.GetValues<Site>())
            {
                var samples = athlete.At(site).Where(s => s.Time.Seconds is > 0.4 and < 2.9).ToList();
                biases.Add(samples.Average(s => s.AngularRateSensorRadps.X) * Angles.DegPerRad);
                // Differences of neighbours hold the noise and hardly any sway.
                var noise = samples.Zip(samples.Skip(1), (a, b) => (b.AngularRateSensorRadps.Y - a.AngularRateSensorRadps.Y) * Angles.DegPerRad).ToList();
                var deviation = Math.Sqrt(noise.Average(n => n * n) / 2);
                var expected = options.GyroscopeNoiseDpsPerRootHz * Math.Sqrt(options.BandwidthShare * options.SampleRateHz);
                Assert.InRange(deviation, 0.85 * expected, 1.3 * expected);
                Assert.InRange(samples.Average(s => s.SpecificForceSensorMps2.Length), 9.80665 - 0.6, 9.80665 + 0.6);
                var rail = (site == Site.Trunk ? options.TrunkRangeG : options.AnkleRangeG) * Gravity.StandardMps2;
                Assert.All(athlete.At(site), s => Assert.True(Math.Abs(s.SpecificForceSensorMps2.X) <= rail * 1.0001));
            }
        }

        // 18 draws of 0.5 deg/s: the deviation lies within a factor of two with more than 99.9 per cent.
        Assert.InRange(Math.Sqrt(biases.Average(b => b * b)), 0.25, 1.0);
    }

    [Fact]
    public void Strapping_on_and_off_shows_sensors_that_move_but_no_flight()
    {
        var athlete = SimulatedSession.Simulate(new() { Seed = 4, DurationS = 20, Strapping = true })[0];
        var handling = athlete.Distractors.Where(d => d.Kind == DistractorKind.Handling).ToList();
        Assert.Equal(2, handling.Count);
        var swings = athlete.At(Site.Trunk).Where(s => s.Time.Seconds > 0.5 && s.Time.Seconds < handling[0].EndS - 3).Max(s => s.AngularRateSensorRadps.Length);
        Assert.True(swings * Angles.DegPerRad > 60);
        Assert.All(athlete.Jumps, j => Assert.True(j.TakeoffS > handling[0].EndS && j.LandingS < handling[1].StartS));
    }

    [Fact]
    public void A_session_may_start_without_standing_still()
    {
        var athlete = SimulatedSession.Simulate(new() { Seed = 8, DurationS = 10, StartsStill = false })[0];
        Assert.NotEqual(DistractorKind.Standing, athlete.Distractors[0].Kind);
    }

    [Theory]
    [InlineData(50)]
    [InlineData(104)]
    [InlineData(1000)]
    [InlineData(2000)]
    public void Any_rate_gives_evenly_timed_samples_of_one_gravity(double rateHz)
    {
        var athlete = SimulatedSession.Simulate(new() { Seed = 2, DurationS = 6, Sensors = new() { SampleRateHz = rateHz } })[0];
        var samples = athlete.At(Site.AnkleRight);
        Assert.All(samples.Zip(samples.Skip(1)), p => Assert.Equal(1 / rateHz, p.Second.Time - p.First.Time, 1.5e-6 + (1e-4 / rateHz)));
        Assert.InRange(samples.Where(s => s.Time.Seconds < 2).Average(s => s.SpecificForceSensorMps2.Length), 9.2, 10.4);
    }
}
