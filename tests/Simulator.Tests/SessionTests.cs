using Saltograph.Imu;
using Saltograph.Simulator.Sensors;
using Saltograph.Simulator.Session;

namespace Saltograph.Simulator.Tests;

/// <summary>Whole sessions: repeatable, and what an ideal sensor reads agrees with the truth.</summary>
public sealed class SessionTests
{
    private static SimulatedAthlete Ideal(ulong seed, double durationS = 120) =>
        SimulatedSession.Simulate(new() { Seed = seed, DurationS = durationS, Sensors = SensorOptions.Perfect with { SampleRateHz = 1000 } })[0];

    [Fact]
    public void The_same_options_give_the_same_samples_and_truth()
    {
        var options = new SimulationOptions { Seed = 5, DurationS = 40 };
        var first = SimulatedSession.Simulate(options)[0];
        var second = SimulatedSession.Simulate(options)[0];
        foreach (var site in Enum.GetValues<Site>())
        {
            Assert.Equal(first.At(site), second.At(site));
        }

        Assert.Equal(first.Jumps, second.Jumps);
        Assert.Equal(first.Distractors, second.Distractors);
        Assert.NotEqual(first.At(Site.Trunk), SimulatedSession.Simulate(options with { Seed = 6 })[0].At(Site.Trunk));
    }

    [Fact]
    public void Asking_in_small_pieces_gives_the_same_samples_as_asking_at_once()
    {
        var options = new SimulationOptions { Seed = 3, DurationS = 30 };
        List<ImuSample>[] whole = [[], [], []];
        List<ImuSample>[] pieces = [[], [], []];
        new AthleteSimulation(options, 0, new("amsel")).Produce(30, whole);
        var simulation = new AthleteSimulation(options, 0, new("amsel"));
        for (var t = 0.0; t < 30; t += 0.37)
        {
            simulation.Produce(Math.Min(30, t), pieces);
        }

        simulation.Produce(30, pieces);
        for (var site = 0; site < 3; site++)
        {
            Assert.Equal(whole[site], pieces[site]);
        }
    }

    [Fact]
    public void Truth_of_a_jump_is_consistent_in_itself()
    {
        var jumps = Enumerable.Range(1, 6).SelectMany(seed => Ideal((ulong)seed).Jumps).ToList();
        Assert.True(jumps.Count > 50);
        foreach (var jump in jumps)
        {
            var g = Gravity.StandardMps2;
            Assert.True(jump.TakeoffS < jump.PeakS && jump.PeakS < jump.LandingS);
            Assert.InRange(jump.FlightTimeS, 0.2, 0.7);
            // Exact formula of a flight with unequal heights (Linthorne 2001; Serway and Jewett P4.24 has the same form).
            var v = jump.TakeoffVelocityMps;
            Assert.Equal((v / g) + Math.Sqrt((v * v / (g * g)) + (2 * jump.LandingDropM / g)), jump.FlightTimeS, 9);
            Assert.Equal(v * v / (2 * g), jump.HeightM, 12);
            Assert.InRange(jump.ShockTrunkG, 1, 12);
            Assert.True(jump.ShockAnkleLeftG is not null || jump.ShockAnkleRightG is not null);
            Assert.InRange(jump.ShockAnkleLeftG ?? 5, 2, 45);
            Assert.InRange(jump.ShockAnkleRightG ?? 5, 2, 45);
            Assert.InRange(jump.AbsorptionTimeS, 0.05, 0.5);
            Assert.InRange(jump.SplitAngleDeg, 0, 215);
        }
    }

    [Fact]
    public void Integrating_the_ideal_gyroscope_gives_the_true_turn()
    {
        var athlete = Ideal(2);
        var samples = athlete.At(Site.Trunk);
        foreach (var jump in athlete.Jumps)
        {
            var turn = 0.0;
            var from = samples.TakeWhile(s => s.Time.Seconds < jump.TakeoffS - 0.5).Last();
            // Attitude from the standing start: the ideal sensor is aligned with the trunk, gravity gives the tilt.
            _ = from;
            foreach (var sample in samples.Where(s => s.Time.Seconds >= jump.TakeoffS && s.Time.Seconds < jump.LandingS))
            {
                turn += sample.AngularRateSensorRadps.Z / 1000;
            }

            // The trunk leans by some degrees: its long axis under-reads by 1 - cos(lean), 10 deg 1.5 per cent (R04).
            Assert.InRange((turn * Angles.DegPerRad) - jump.TurnFlightDeg, -12 - (0.05 * Math.Abs(jump.TurnFlightDeg)), 12 + (0.05 * Math.Abs(jump.TurnFlightDeg)));
        }
    }

    [Fact]
    public void Between_two_quiet_stands_the_mean_specific_force_is_gravity()
    {
        // Rest to rest the velocity does not change: the integral of the vertical specific force is g times the time.
        var athlete = Ideal(4, 60);
        var samples = athlete.At(Site.Trunk);
        var stands = athlete.Distractors.Where(d => d.Kind == Elements.DistractorKind.Standing).ToList();
        Assert.True(stands.Count >= 2);
        var (a, b) = (stands[0].EndS - 0.3, stands[^1].EndS - 0.6);
        var attitude = Rotation.Shortest(samples.First(s => s.Time.Seconds >= a).SpecificForceSensorMps2, Vector3D.UnitZ);
        var velocity = 0.0;
        foreach (var sample in samples.Where(s => s.Time.Seconds >= a && s.Time.Seconds < b))
        {
            velocity += (attitude.Rotate(sample.SpecificForceSensorMps2).Z - Gravity.StandardMps2) / 1000;
            attitude = (attitude * Rotation.FromRotationVector(sample.AngularRateSensorRadps / 1000)).Normalized();
        }

        // Sway at both ends: some mm/s; tilt error from sway at the start: g sin^2 / 2.
        Assert.InRange(velocity / (b - a), -0.02, 0.02);
    }

    [Fact]
    public void Wrong_options_are_refused_with_what_was_found_and_what_is_allowed()
    {
        var options = new SimulationOptions { AthleteCount = 0, DurationS = double.NaN, Sensors = new() { SampleRateHz = 20 } };
        var message = Assert.Throws<ArgumentException>(options.Validate).Message;
        Assert.Contains("AthleteCount 0 must be inside 1 to 200.", message, StringComparison.Ordinal);
        Assert.Contains("DurationS NaN must be inside 5 to 86400.", message, StringComparison.Ordinal);
        Assert.Contains("Sensors.SampleRateHz 20 must be inside 50 to 2000.", message, StringComparison.Ordinal);
    }
}
