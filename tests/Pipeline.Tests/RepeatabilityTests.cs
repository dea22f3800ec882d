using FsCheck.Xunit;
using Saltograph.Imu;

namespace Saltograph.Pipeline.Tests;

public class RepeatabilityTests
{
    private const double EndS = 18;
    private const int Jumps = 5;

    [Fact]
    public void The_same_packets_give_the_same_facts_to_the_byte()
    {
        var random = new Random(1);
        var messages = Runs.Delay(Three(knowsOffset: false), () => 0.01 * random.NextDouble());
        var first = Runs.Text(Runs.Run(NewThree(), messages));
        Assert.Equal(Jumps, first.Split('\n').Count(line => line.Contains(".jump ", StringComparison.Ordinal)));
        Assert.Equal(first, Runs.Text(Runs.Run(NewThree(), messages)));
    }

    [Property(MaxTest = 20)]
    public void A_checkpoint_anywhere_changes_nothing(int seed)
    {
        var random = new Random(seed);
        var messages = Disturb(Three(knowsOffset: random.Next(2) == 0), random, lossShare: 0.02);
        var cut = random.Next(messages.Count + 1);
        var whole = Runs.Text(Runs.Run(NewThree(), messages));

        var first = NewThree();
        var before = Runs.Push(first, messages.Take(cut));
        var state = first.Capture();
        Runs.Run(first, messages.Skip(cut).Take(50)); // going on must not touch what was captured
        var second = NewThree();
        second.Restore(state);
        var after = Runs.Run(second, messages.Skip(cut));

        Assert.Equal(InOrder(whole), InOrder(Runs.Text(before) + Runs.Text(after)));
    }

    [Property(MaxTest = 20)]
    public void Duplicates_and_any_order_within_half_a_second_give_the_same_facts(int seed)
    {
        // With the offset stated by the firmware nothing depends on the arrival; ids never do.
        var random = new Random(seed);
        var messages = Three(knowsOffset: true);
        var expected = Runs.Run(NewThree(), messages);

        var pipeline = NewThree();
        var disturbed = Runs.Run(pipeline, Disturb(messages, random, lossShare: 0));

        Assert.Equal(Jumps, expected.Jumps.Count);
        Assert.Equal(Runs.Text(expected, withSensors: false), Runs.Text(disturbed, withSensors: false));
        Assert.DoesNotContain(disturbed.Sensors, fact => fact.Kind is SensorFactKind.Gap or SensorFactKind.Overtaken or SensorFactKind.Silent);
        Assert.True(pipeline.Counts(Runs.Trunk.Sensor).Duplicates > 0);
    }

    [Property(MaxTest = 20)]
    public void Any_packet_length_gives_the_same_facts(int seed)
    {
        var random = new Random(seed);
        var exact = Sensors(knowsOffset: true).Select(sensor => sensor with { SkewPpm = 0 }).ToArray(); // no rounded times
        var expected = Runs.Run(NewThree(), All(exact));
        var messages = All(exact.Select(sensor => sensor with { SamplesPerPacket = random.Next(1, 60) }));

        Assert.Equal(Jumps, expected.Jumps.Count);
        Assert.Equal(Runs.Text(expected, withSensors: false), Runs.Text(Runs.Run(NewThree(), messages), withSensors: false));
    }

    [Property(MaxTest = 20)]
    public void Packets_longer_than_any_wait_lose_no_jump_in_whatever_order_they_come(int seed)
    {
        // Up to 512 samples, the most that a packet may hold: 1.3 s. Which of them are waited for before any was seen, nobody can know, so the filters start a little apart.
        var random = new Random(seed);
        var expected = Runs.Run(NewThree(), Three(knowsOffset: true));
        var sensors = Sensors(knowsOffset: true).Select(sensor => sensor with { SamplesPerPacket = random.Next(150, 513) });
        var messages = Runs.Merge([.. sensors.Select(sensor => sensor.Packets(0, EndS + 1.3))]); // what does not fill a packet is not sent
        var late = Runs.Run(NewThree(), Disturb(messages, random, lossShare: 0));
        Assert.Equal(JumpIds(expected), JumpIds(late));
        Assert.Equal(LandingIds(expected), LandingIds(late));
        Assert.All(expected.Jumps.Zip(late.Jumps), pair => Assert.Equal(pair.First.Jump.HeightM, pair.Second.Jump.HeightM, 0.001));
        Assert.All(late.Jumps, jump => Assert.NotNull(jump.Jump.SplitAngleDeg));
    }

    [Property(MaxTest = 40)]
    public void Ids_do_not_depend_on_delays(int seed)
    {
        // Rates from 100 to 1000 Hz, any phase, landings from 2.5 to 5.5 times the weight, delays of 20 ms on average.
        var random = new Random(seed);
        uint[] intervalsNs = [10_000_000, 5_000_000, 4_000_000, 2_500_000, 2_403_846, 1_250_000, 1_000_000];
        var intervalNs = intervalsNs[random.Next(intervalsNs.Length)];
        var hardness = 0.5 + random.NextDouble();
        var messages = All(Sensors(knowsOffset: false).Select(sensor => sensor with
        {
            IntervalNs = intervalNs,
            SamplesPerPacket = (int)(60_000_000 / intervalNs),
            PhaseS = intervalNs * 1e-9 * random.NextDouble(),
            Hardness = hardness,
        }));
        var expected = Runs.Run(NewThree(), messages);
        var delayed = Runs.Run(NewThree(), Runs.Delay(messages, () => -0.02 * Math.Log(1 - random.NextDouble())));
        Assert.Equal(Jumps, expected.Jumps.Count);
        Assert.Equal(JumpIds(expected), JumpIds(delayed));
        Assert.Equal(LandingIds(expected), LandingIds(delayed));
    }

    [Fact]
    public void A_state_of_other_sensors_is_refused()
    {
        var state = Runs.New(Runs.Trunk).Capture();
        Assert.Contains("allowed", Assert.Throws<ArgumentException>(() => NewThree().Restore(state)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_sensors_at_one_site_or_none_at_all_are_refused()
    {
        var both = new Dictionary<SensorId, Site> { [new("a")] = Site.Trunk, [new("b")] = Site.Trunk };
        Assert.Contains("allowed", Assert.Throws<ArgumentException>(() => new AthletePipeline(Runs.Athlete, both, new())).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => new AthletePipeline(Runs.Athlete, new Dictionary<SensorId, Site>(), new()));
    }

    private static AthletePipeline NewThree() => Runs.New(Runs.Trunk, Runs.AnkleLeft, Runs.AnkleRight);

    private static VirtualSensor[] Sensors(bool knowsOffset) =>
        [.. new[] { Runs.Trunk, Runs.AnkleLeft, Runs.AnkleRight }.Select(sensor => sensor with { KnowsOffset = knowsOffset })];

    private static List<Message> Three(bool knowsOffset) => All(Sensors(knowsOffset));

    private static List<Message> All(IEnumerable<VirtualSensor> sensors) => Runs.Merge([.. sensors.Select(sensor => sensor.Packets(0, EndS))]);

    // Every packet up to 0.38 s late (with the 0.06 s of a packet less than the 0.5 s that are waited), some twice, some never.
    private static List<Message> Disturb(List<Message> messages, Random random, double lossShare)
    {
        var sent = messages.Where(_ => random.NextDouble() >= lossShare)
            .SelectMany(message => Enumerable.Repeat(message, random.Next(10) == 0 ? 2 : 1));
        return Runs.Delay(sent, () => random.Next(4) == 0 ? 0.38 * random.NextDouble() : 0.01 * random.NextDouble());
    }

    // The text has one part per kind of fact; of two outputs in a row the lines have to be sorted to be compared.
    private static string InOrder(string text) => string.Join('\n', text.Split('\n').Order(StringComparer.Ordinal)).Trim();

    private static string JumpIds(PipelineOutput output) => string.Join('\n', output.Jumps.Select(jump => jump.Id));

    private static string LandingIds(PipelineOutput output) => string.Join('\n', output.Landings.Select(landing => landing.Id));
}
