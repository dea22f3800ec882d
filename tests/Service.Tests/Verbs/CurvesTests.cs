using System.Formats.Cbor;
using System.Globalization;
using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline.Motion;
using Saltograph.Service.Durability;
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
            ["athlete", "number", "takeoffS", "phaseStarts", "timeS", "accelerationUpMps2", "velocityUpMps", "turnRateDps", "inclinationLeftDeg", "inclinationRightDeg", "splitAngleDeg",
                "inclinationTrunkDeg", "constantMomentumRateDps", "forceTrunkG", "forceAnkleLeftG", "forceAnkleRightG", "shockTransferDb"],
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

    // Angular momentum is constant in the air (Euler): the same turn in all, and slower where the legs are further open.
    [Fact]
    public void The_turn_rate_by_the_legs_alone_gives_the_same_turn_and_is_least_where_the_legs_are_widest_open()
    {
        var jumps = Measured().Select(jump => jump.Curves!).Where(curves => curves.ConstantMomentumRateDps is not null).ToList();
        Assert.NotEmpty(jumps);
        Assert.All(jumps, curves =>
        {
            var rates = curves.ConstantMomentumRateDps!;
            Assert.Equal(Landing - Takeoff + 1, rates.Count);
            var (byLegs, measured) = (0.0, 0.0);
            for (var node = Takeoff; node < Landing; node++)
            {
                byLegs += (curves.TimeS[node + 1] - curves.TimeS[node]) * (rates[node - Takeoff] + rates[node + 1 - Takeoff]) / 2;
                measured += (curves.TimeS[node + 1] - curves.TimeS[node]) * (curves.TurnRateDps[node] + curves.TurnRateDps[node + 1]) / 2;
            }

            Assert.Equal(measured, byLegs, 1e-6);
            double Open(int i) => Math.Pow(Math.Sin(curves.InclinationLeftDeg![Takeoff + i] * Math.PI / 180), 2) + Math.Pow(Math.Sin(curves.InclinationRightDeg![Takeoff + i] * Math.PI / 180), 2);
            Assert.Equal(Enumerable.Range(0, rates.Count).MaxBy(Open), Enumerable.Range(0, rates.Count).MinBy(i => Math.Abs(rates[i])));
        });
    }

    [Fact]
    public void The_largest_force_after_a_contact_is_the_shock_of_the_record() => Assert.All(Measured(), jump =>
    {
        var after = Enumerable.Range(Landing, 41).Where(node => jump.Curves!.TimeS[node] - jump.Curves.TimeS[Landing] < 0.1).ToArray();
        Assert.Equal(jump.LandingShockG.TrunkG!.Value, after.Max(node => jump.Curves!.ForceTrunkG![node]), 0.2);
    });

    [Fact]
    public void Packed_and_unpacked_again_the_curves_are_the_same_to_the_kept_decimal()
    {
        var sizes = new List<int>();
        Assert.All(Measured().Select(jump => jump.Curves!), curves =>
        {
            var bytes = CurveBytes.Pack(curves);
            sizes.Add(bytes.Length);
            var again = CurveBytes.Unpack(bytes);
            Near(curves.TimeS, again.TimeS, 0.5e-5);
            Near(curves.AccelerationUpMps2, again.AccelerationUpMps2, 0.005);
            Near(curves.VelocityUpMps, again.VelocityUpMps, 0.0005);
            Near(curves.TurnRateDps, again.TurnRateDps, 0.05);
            Near(curves.InclinationLeftDeg, again.InclinationLeftDeg, 0.05);
            Near(curves.SplitAngleDeg, again.SplitAngleDeg, 0.05);
            Near(curves.ConstantMomentumRateDps, again.ConstantMomentumRateDps, 0.05);
            Near(curves.ForceAnkleRightG, again.ForceAnkleRightG, 0.005);
            Assert.Equal(again, CurveBytes.Unpack(CurveBytes.Pack(again)));
        });
        TestContext.Current.TestOutputHelper!.WriteLine($"bytes of a course: {sizes.Min()} to {sizes.Max()}, mean {sizes.Average():F0}");
        Assert.True(sizes.Max() < 6000, $"{sizes.Max()} bytes");

        static void Near(IReadOnlyList<double>? a, IReadOnlyList<double>? b, double within)
        {
            Assert.Equal(a is null, b is null);
            Assert.All((a ?? []).Zip(b ?? []), pair => Assert.Equal(pair.First, pair.Second, within * 1.0001));
        }
    }

    // RFC 8949 section 3: a0 is an empty map, a1 61 74 a map of one key, 82 01 02 an array of two; 01 is a number.
    [Theory]
    [InlineData("a0")]
    [InlineData("a16174820102")]
    [InlineData("01")]
    [InlineData("")]
    public void Bytes_that_are_no_curves_are_refused(string hex) => Assert.Throws<CborContentException>(() => CurveBytes.Unpack(Convert.FromHexString(hex)));

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
