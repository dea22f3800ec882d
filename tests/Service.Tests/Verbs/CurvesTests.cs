using System.Globalization;
using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline.Motion;
using Saltograph.Simulator.Session;

namespace Saltograph.Service.Tests.Verbs;

public sealed class CurvesTests : IDisposable
{
    private const int Takeoff = 60;
    private const int Landing = 120;

    private readonly TemporaryFolder _folder = new();

    // A textbook jump: weight alone in the air, -9.81 m/s2 from +g T / 2 to -g T / 2 (flight of 0.5 s).
    [Fact]
    public async Task The_curves_of_a_textbook_jump_fall_freely_between_take_off_and_landing()
    {
        var trunk = _folder.Write("trunk.csv", "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps\n"
            + string.Concat(TextbookJumps.One().Select((force, row) => string.Create(CultureInfo.InvariantCulture, $"{row / TextbookJumps.RateHz},0,0,{force},0,0,0\n"))));
        var run = await Cli.RunAsync("analyse", "--trunk", trunk, "--output", _folder.File("jumps.jsonl"), "--curves", _folder.File("curves.jsonl"));
        Assert.Equal(0, run.ExitCode);
        var line = Assert.Single(await File.ReadAllLinesAsync(_folder.File("curves.jsonl"), TestContext.Current.CancellationToken));
        using var json = JsonDocument.Parse(line);
        Assert.Equal(
            ["athlete", "number", "takeoffS", "phaseStarts", "timeS", "accelerationUpMps2", "velocityUpMps", "turnRateDps", "inclinationLeftDeg", "inclinationRightDeg", "splitAngleDeg"],
            json.RootElement.EnumerateObject().Select(property => property.Name), StringComparer.Ordinal);
        Assert.Equal([0, 20, Takeoff, Landing, 160], json.RootElement.GetProperty("phaseStarts").EnumerateArray().Select(node => node.GetInt32()));
        var acceleration = Numbers(json, "accelerationUpMps2");
        var velocity = Numbers(json, "velocityUpMps");
        var time = Numbers(json, "timeS");
        Assert.Equal(161, acceleration.Length);
        Assert.Equal(0, time[Takeoff]);
        Assert.All(acceleration[(Takeoff + 3)..(Landing - 2)], value => Assert.Equal(-9.81, value, 0.05));
        Assert.Equal(9.81 * 0.25, velocity[Takeoff], 0.15);
        Assert.Equal(-9.81 * time[Landing], velocity[Landing] - velocity[Takeoff], 0.15);
        Assert.Equal(JsonValueKind.Null, json.RootElement.GetProperty("splitAngleDeg").ValueKind);
    }

    [Fact]
    public void The_curves_of_a_simulated_training_agree_with_the_measures_of_their_records()
    {
        var jumps = Measured();
        Assert.True(jumps.Count >= 4, $"{jumps.Count} jumps");
        Assert.All(jumps, jump =>
        {
            var curves = Assert.IsType<JumpCurves>(jump.Curves);
            Assert.Equal(jump.FlightTimeS, curves.TimeS[Landing], 1e-5);
            Assert.Equal(curves.TimeS.Order(), curves.TimeS);

            // The turn is the area under its rate.
            var turnDeg = 0.0;
            for (var node = Takeoff; node < Landing; node++)
            {
                turnDeg += (curves.TimeS[node + 1] - curves.TimeS[node]) * (curves.TurnRateDps[node] + curves.TurnRateDps[node + 1]) / 2;
            }

            Assert.Equal(jump.TurnFlightDeg!.Value, turnDeg, 0.5);
        });
        var splits = jumps.Where(jump => jump.SplitAngleDeg is not null).ToList();
        Assert.NotEmpty(splits);

        // Nodes are some samples apart, so the very largest may lie between two of them.
        Assert.All(splits, jump => Assert.Equal(jump.SplitAngleDeg!.Value, jump.Curves!.SplitAngleDeg!.Skip(Takeoff).Take(Landing - Takeoff + 1).Max(), 5.0));
    }

    [Fact]
    public void The_same_samples_give_the_same_curves() => Assert.Equal(Measured().Select(jump => jump.Curves), Measured().Select(jump => jump.Curves));

    [Fact]
    public void The_axis_of_phases_counts_phases()
    {
        Assert.Equal([0, 0.5, 1, 2, 2.5, 3, 4], new[] { 0, 10, 20, 60, 90, 120, 160 }.Select(JumpCurves.PhaseOf));
        Assert.Throws<ArgumentOutOfRangeException>(() => JumpCurves.PhaseOf(161));
    }

    public void Dispose() => _folder.Dispose();

    private static List<JumpRecord> Measured()
    {
        var athlete = SimulatedSession.Simulate(new() { Seed = 7201, DurationS = 50 })[0];
        var tracker = new MotionTracker(new());
        var facts = new JumpFacts();
        foreach (var site in Enum.GetValues<Site>())
        {
            tracker.SetSampleRate(site, 416);
        }

        foreach (var (site, sample) in Enum.GetValues<Site>().SelectMany(site => athlete.At(site).Select(sample => (site, sample))).OrderBy(each => each.sample.Time))
        {
            tracker.Push(site, sample, facts);
        }

        tracker.Complete(facts);
        return facts.Jumps;
    }

    private static double[] Numbers(JsonDocument json, string key) => [.. json.RootElement.GetProperty(key).EnumerateArray().Select(value => value.GetDouble())];
}
