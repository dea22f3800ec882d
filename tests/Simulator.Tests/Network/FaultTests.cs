using Saltograph.Imu;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Sensors;
using Saltograph.Simulator.Session;
using Saltograph.Wire.Packets;

namespace Saltograph.Simulator.Tests.Network;

/// <summary>
/// Faults come as often as the options say, over 100 000 packets of one sensor. Bounds are five standard deviations of
/// what is counted, so that a right rate fails once in a million seeds.
/// </summary>
public sealed class FaultTests
{
    private const int PacketCount = 100_000;
    private const double Sigmas = 5;
    private const double PacketS = 24 / 416.0;

    private sealed record Arrived(PacketHeader Header, SimulatedPacket Packet);

    private static List<Arrived> Run(NetworkOptions network, int packets = PacketCount, ulong seed = 21, Action<int>? underWay = null)
    {
        // Readings of a sensor that lies still: the movement does not matter here and would take minutes.
        var options = new SimulationOptions();
        var sampler = new AthleteSimulation(options, 0, new("amsel")).SamplerAt(Site.Trunk);
        var sensor = new SimulatedSensor(new("imu-amsel-trunk"), new("amsel"), Site.Trunk);
        var uplink = new SensorUplink(sensor, sampler, network, 416, HallSimulation.DefaultStartMicroseconds, new Pcg32(seed, 3));
        var inFlight = new PriorityQueue<SimulatedPacket, (double, long)>();
        var buffer = new PacketBuffer();
        var reader = new PacketReader();
        var arrived = new List<Arrived>();
        var order = 0L;
        for (var i = 0; i < packets * network.SamplesPerPacket; i++)
        {
            var timeS = i / 416.0;
            uplink.Take(new RawSample(timeS, timeS + sampler.OffsetS, 0, (short)(i % 7), 2048, 0, 0, 0), inFlight, ref order);
            Receive(timeS);
        }

        Receive(double.PositiveInfinity);
        return arrived;

        void Receive(double untilS)
        {
            underWay?.Invoke(inFlight.Count);
            while (inFlight.TryPeek(out var packet, out _) && packet.ReceivedS < untilS)
            {
                Assert.Equal(PacketFault.None, reader.TryRead(packet.Bytes, buffer).Fault);
                arrived.Add(new(buffer.Header, inFlight.Dequeue()));
            }
        }
    }

    private static List<Arrived> WithoutReboots(int packets = PacketCount) => Run(new() { RebootProbability = 0 }, packets);

    [Fact]
    public void By_default_one_packet_in_200_is_lost_more_than_half_of_them_in_bursts_of_three()
    {
        var present = WithoutReboots().Select(packet => packet.Header.Sequence).ToHashSet();
        var (lost, runs) = (0, 0);
        for (var i = 0u; i < PacketCount; i++)
        {
            lost += present.Contains(i) ? 0 : 1;
            runs += !present.Contains(i) && (i == 0 || present.Contains(i - 1)) ? 1 : 0;
        }

        // A burst loses its first packet and those that follow within an exponential time: a geometric number.
        var further = Math.Exp(-PacketS / 0.15);
        var burst = 1 / (1 - further);
        Assert.InRange(burst, 2.9, 3.3);
        var expected = PacketCount * (0.002 + (0.001 * burst));
        Assert.InRange(expected, 490, 530);

        // Variance: single losses are Poisson; of bursts count times mean square of the length, (1 + q)/(1 - q)^2.
        var deviation = Math.Sqrt(PacketCount * (0.002 + (0.001 * (1 + further) * burst * burst)));
        Assert.InRange(lost, expected - (Sigmas * deviation), expected + (Sigmas * deviation));
        Assert.InRange(runs, 300 - (Sigmas * Math.Sqrt(300)), 300 + (Sigmas * Math.Sqrt(300)));
    }

    [Fact]
    public void Duplicates_are_as_frequent_as_stated_and_equal_to_the_byte()
    {
        var groups = WithoutReboots().GroupBy(packet => packet.Header.Sequence).Where(group => group.Count() > 1).ToList();
        AssertCount(0.005 * 0.995, groups.Count);
        Assert.All(groups, group =>
        {
            Assert.Equal(2, group.Count());
            Assert.True(group.First().Packet.Bytes.Span.SequenceEqual(group.Last().Packet.Bytes.Span));
        });
    }

    [Fact]
    public void Packets_are_held_up_as_often_as_stated_and_within_the_stated_time()
    {
        var delaysS = Run(new() { RebootProbability = 0, DuplicateProbability = 0, JitterS = 0 }).ConvertAll(packet => packet.Packet.ReceivedS - packet.Packet.SentS);
        var held = delaysS.Where(delayS => delayS > 0.006).ToList();
        AssertCount(0.01 * 0.995, held.Count);
        Assert.All(held, delayS => Assert.InRange(delayS, 0.005 + 0.09 - 1e-9, 0.005 + 0.3 + 1e-9));
        Assert.InRange(held.Max(), 0.29, 0.31);
    }

    [Fact]
    public void Delays_have_the_stated_least_and_mean()
    {
        var delaysS = Run(NetworkOptions.Faultless with { JitterS = 0.008 }).ConvertAll(packet => packet.Packet.ReceivedS - packet.Packet.SentS);
        Assert.Equal(PacketCount, delaysS.Count);
        Assert.InRange(delaysS.Min(), 0.005 - 1e-9, 0.0051);
        var boundS = Sigmas * 0.008 / Math.Sqrt(PacketCount);
        Assert.InRange(delaysS.Average(), 0.013 - boundS, 0.013 + boundS);
    }

    [Fact]
    public void A_restart_gives_a_new_boot_sequence_0_another_clock_and_a_gap_of_about_2_s()
    {
        var boots = Run(NetworkOptions.Faultless with { RebootProbability = 0.001 })
            .GroupBy(packet => packet.Header.Boot).Select(group => group.ToList()).ToList();
        Assert.InRange(boots.Count, 100 - (Sigmas * 10), 100 + (Sigmas * 10));
        for (var i = 1; i < boots.Count; i++)
        {
            var (last, first) = (boots[i - 1][^1], boots[i][0]);
            Assert.Equal(0u, first.Header.Sequence);
            Assert.InRange(first.Packet.SentS - PacketS - last.Packet.SentS, 1.5 - 0.003, 2.5 + 0.003);
            Assert.NotInRange(first.Header.FirstSampleDeviceMicroseconds - last.Header.FirstSampleDeviceMicroseconds, -10_000_000, 10_000_000);
        }
    }

    [Fact]
    public void By_default_a_sensor_restarts_about_once_an_hour() =>
        Assert.InRange(new NetworkOptions().RebootProbability * 3600 / PacketS, 0.9, 1.1);

    [Fact]
    public void The_firmware_states_the_hall_clock_after_a_second_with_the_stated_error_or_never()
    {
        var packets = Run(NetworkOptions.Faultless with { StatedOffsetErrorS = 0.0005 });
        var offsetS = new AthleteSimulation(new(), 0, new("amsel")).SamplerAt(Site.Trunk).OffsetS;
        Assert.All(packets.Take(17), packet => Assert.Null(packet.Header.HallMinusDeviceMicroseconds));
        var errorsS = packets.Skip(18).Select(packet =>
            ((packet.Header.FirstSampleDeviceMicroseconds + packet.Header.HallMinusDeviceMicroseconds!.Value - HallSimulation.DefaultStartMicroseconds) * 1e-6)
            - (packet.Packet.SentS - (23 / 416.0)) - offsetS).ToList();

        // 5769 s are 360 exchanges.
        var exchanges = PacketCount * PacketS / 16;
        var deviationS = Math.Sqrt(errorsS.Average(error => error * error));
        Assert.InRange(deviationS, 0.0005 * (1 - (Sigmas / Math.Sqrt(2 * exchanges))), 0.0005 * (1 + (Sigmas / Math.Sqrt(2 * exchanges))));
        Assert.InRange(errorsS.Select(error => Math.Round(error, 5)).Distinct().Count(), 100, exchanges + 1);
        Assert.All(Run(new() { FirmwareKnowsOffset = false }, 1000), packet => Assert.Null(packet.Header.HallMinusDeviceMicroseconds));
    }

    [Fact]
    public void What_is_under_way_does_not_grow_over_two_hours()
    {
        var most = 0;
        var hours2 = (int)(7200 / PacketS);
        _ = Run(new(), hours2, underWay: count => most = Math.Max(most, count));

        // Packets of the last 58 ms, and those held up for 0.3 s and more.
        Assert.InRange(most, 2, 8);
    }

    [Fact]
    public void Wrong_options_are_refused_with_what_was_found_and_what_is_allowed()
    {
        var options = new NetworkOptions { SamplesPerPacket = 513, LossProbability = double.NaN, StatedOffsetErrorS = 1 };
        var message = Assert.Throws<ArgumentException>(options.Validate).Message;
        Assert.Contains("Network.SamplesPerPacket 513 must be inside 1 to 512.", message, StringComparison.Ordinal);
        Assert.Contains("Network.LossProbability NaN must be inside 0 to 1.", message, StringComparison.Ordinal);
        Assert.Contains("Network.StatedOffsetErrorS 1 must be inside 0 to 0.1.", message, StringComparison.Ordinal);
    }

    private static void AssertCount(double share, int found)
    {
        var deviation = Math.Sqrt(PacketCount * share * (1 - share));
        Assert.InRange(found, (PacketCount * share) - (Sigmas * deviation), (PacketCount * share) + (Sigmas * deviation));
    }
}
