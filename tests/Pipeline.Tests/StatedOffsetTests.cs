using Saltograph.Imu;

namespace Saltograph.Pipeline.Tests;

/// <summary>Offsets that the firmware states and that are wrong.</summary>
public class StatedOffsetTests
{
    private const double EndS = 40;
    private const int Jumps = 12;

    [Theory]
    [InlineData(0.3, true)]
    [InlineData(0.6, true)]
    [InlineData(10, true)]
    [InlineData(3600, true)]
    [InlineData(-0.6, false)]
    [InlineData(-10, true)]
    [InlineData(-3600, true)]
    public void A_wrong_offset_of_an_ankle_costs_no_jump(double errorS, bool isRefused)
    {
        var ankle = Runs.AnkleLeft with { KnowsOffset = true, StatedErrorS = errorS };
        var (pipeline, output) = Run(Runs.Trunk with { KnowsOffset = true }, ankle);

        Assert.Equal(Takeoffs(), output.Jumps.Select(jump => jump.Jump.TakeoffTime - VirtualSensor.Start), (a, b) => Math.Abs(a - b) < 0.05);
        Assert.Equal(0, pipeline.Counts(Runs.Trunk.Sensor).OvertakenSamples);
        AssertRefused(output, isRefused ? ankle.Sensor : null, errorS);
        if (!isRefused)
        {
            // Believed, and too far behind to be waited for: it is told while it lasts, of this sensor and of no other.
            var facts = output.Sensors.Where(fact => fact.Kind == SensorFactKind.Overtaken).ToArray();
            Assert.True(facts.Length > 20);
            Assert.All(facts, fact => Assert.Equal(ankle.Sensor, fact.Sensor));
        }
        else
        {
            // Refused in time to have both feet in all later jumps.
            Assert.All(output.Jumps.Skip(1), jump => Assert.DoesNotContain(jump.Jump.Quality, word => word == "ankle-left-missing"));
        }

        Assert.DoesNotContain(output.Sensors, fact => fact.Kind == SensorFactKind.Silent && fact.Site == Site.Trunk);
    }

    [Theory]
    [InlineData(0.3, true)]
    [InlineData(10, true)]
    [InlineData(3600, true)]
    [InlineData(-0.6, false)]
    [InlineData(-2, false)]
    [InlineData(-10, true)]
    [InlineData(-3600, true)]
    public void A_wrong_offset_of_the_trunk_costs_no_jump(double errorS, bool isRefused)
    {
        var trunk = Runs.Trunk with { KnowsOffset = true, StatedErrorS = errorS };
        var (_, output) = Run(trunk, Runs.AnkleLeft with { KnowsOffset = true });
        Assert.Equal(Jumps, output.Jumps.Count);
        AssertRefused(output, isRefused ? trunk.Sensor : null, errorS);
    }

    [Theory]
    [InlineData(1.1)]
    [InlineData(5)]
    [InlineData(50)]
    public void Packets_that_come_faster_than_they_were_made_are_believed(double speed)
    {
        // The firmware of one ankle starts anew half way: by then its packets are far ahead of the clock on the wall.
        var random = new Random(5);
        var ankle = Runs.AnkleLeft with { KnowsOffset = true };
        var again = ankle with { Boot = new(77), DeviceAtStartUs = 1 };
        var made = Runs.Merge(
            (Runs.Trunk with { KnowsOffset = true }).Packets(0, EndS),
            ankle.Packets(0, 19.9),
            again.Packets(20.5, EndS),
            (Runs.AnkleRight with { KnowsOffset = true }).Packets(0, EndS));
        var messages = made.Select(message => message with
        {
            Received = VirtualSensor.Start.PlusSeconds(((message.Received - VirtualSensor.Start) / speed) + (0.005 * random.NextDouble())),
        });
        var output = Runs.Run(Runs.New(Runs.Trunk, Runs.AnkleLeft, Runs.AnkleRight), messages);
        Assert.Equal(Takeoffs(), output.Jumps.Select(jump => jump.Jump.TakeoffTime - VirtualSensor.Start), (a, b) => Math.Abs(a - b) < 0.05);
        Assert.DoesNotContain(output.Sensors, fact => fact.Kind is SensorFactKind.OffsetRefused or SensorFactKind.ClockStep);
    }

    [Fact]
    public void A_true_offset_is_believed_again_after_a_wrong_one()
    {
        var right = Runs.AnkleLeft with { KnowsOffset = true };
        var wrong = right with { StatedErrorS = 10 };
        var packets = wrong.Packets(0, EndS).Select((packet, i) => i < 200 ? packet : right.Packets(0, EndS)[i]);
        var output = Runs.Run(
            Runs.New(Runs.Trunk, Runs.AnkleLeft), Runs.Merge((Runs.Trunk with { KnowsOffset = true }).Packets(0, EndS), packets));
        Assert.Equal(Jumps, output.Jumps.Count);
        AssertRefused(output, right.Sensor, 10);
    }

    [Theory]
    [InlineData(0, 3)]
    [InlineData(double.NaN, 3)]
    [InlineData(0.1, 0)]
    [InlineData(0.1, 4e7)]
    public void Limits_outside_their_ranges_are_refused(double aheadS, double behindS)
    {
        var options = new PipelineOptions { MostStatedAheadS = aheadS, MostStatedBehindS = behindS };
        Assert.Contains("allowed", Assert.Throws<ArgumentOutOfRangeException>(options.Validate).Message, StringComparison.Ordinal);
    }

    private static IEnumerable<double> Takeoffs() => Enumerable.Range(0, Jumps).Select(i => 4.49 + (3 * i));

    private static (AthletePipeline Pipeline, PipelineOutput Output) Run(VirtualSensor trunk, VirtualSensor ankle)
    {
        var random = new Random(9);
        var messages = Runs.Merge(
            trunk.Packets(0, EndS), ankle.Packets(0, EndS), (Runs.AnkleRight with { KnowsOffset = true }).Packets(0, EndS));
        var pipeline = Runs.New(Runs.Trunk, Runs.AnkleLeft, Runs.AnkleRight);
        return (pipeline, Runs.Run(pipeline, Runs.Delay(messages, () => 0.01 * random.NextDouble())));
    }

    private static void AssertRefused(PipelineOutput output, SensorId? sensor, double errorS)
    {
        var refused = output.Sensors.Where(fact => fact.Kind == SensorFactKind.OffsetRefused).ToArray();
        if (sensor is null)
        {
            Assert.Empty(refused);
            return;
        }

        var fact = Assert.Single(refused);
        Assert.Equal(sensor, fact.Sensor);
        Assert.Equal(errorS, fact.DurationS!.Value, 0.02);
    }
}
