using Saltograph.Imu;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Wire.Packets;

namespace Saltograph.Simulator.Tests;

/// <summary>Packets on their way to the hall.</summary>
public sealed class NetworkTests
{
    private static List<SimulatedPacket> Run(NetworkOptions network, double untilS, SimulationOptions? options = null)
    {
        var packets = new List<SimulatedPacket>();
        new HallSimulation(options ?? new() { Seed = 9, AthleteCount = 2 }, network).Advance(untilS, packets);
        return packets;
    }

    [Fact]
    public void Packets_decode_to_the_samples_that_the_session_gives()
    {
        var options = new SimulationOptions { Seed = 3 };
        var packets = Run(NetworkOptions.Faultless, 12, options);
        List<ImuSample>[] samples = [[], [], []];
        new AthleteSimulation(options, 0, SimulatedSession.PseudonymOf(0)).Produce(12, samples);
        var reader = new PacketReader();
        var buffer = new PacketBuffer();
        foreach (var site in Enum.GetValues<Site>())
        {
            var decoded = new List<ImuSample>();
            foreach (var packet in packets.Where(p => p.Sensor.Site == site))
            {
                Assert.Equal(PacketFault.None, reader.TryRead(packet.Bytes, buffer).Fault);
                for (var i = 0; i < buffer.Count; i++)
                {
                    decoded.Add(new(default, buffer.SpecificForceSensorMps2(i), buffer.AngularRateSensorRadps(i), buffer.Marks(i)));
                }
            }

            Assert.True(decoded.Count > 11 * 416);
            for (var i = 0; i < decoded.Count; i++)
            {
                Assert.Equal(samples[(int)site][i].SpecificForceSensorMps2, decoded[i].SpecificForceSensorMps2);
                Assert.Equal(samples[(int)site][i].AngularRateSensorRadps, decoded[i].AngularRateSensorRadps);
                Assert.Equal(samples[(int)site][i].Marks, decoded[i].Marks);
            }
        }
    }

    [Fact]
    public void Packets_come_in_order_of_arrival_and_never_before_they_were_sent()
    {
        var packets = Run(new(), 30);
        Assert.True(packets.Zip(packets.Skip(1)).All(pair => pair.First.ReceivedS <= pair.Second.ReceivedS));
        Assert.All(packets, packet => Assert.True(packet.ReceivedS >= packet.SentS + 0.012));
    }

    [Fact]
    public void The_same_hall_gives_the_same_bytes_whatever_the_steps_asked_for()
    {
        var network = new NetworkOptions { RebootProbability = 0.01 };
        var whole = Run(network, 10);
        var hall = new HallSimulation(new() { Seed = 9, AthleteCount = 2 }, network);
        var pieces = new List<SimulatedPacket>();
        for (var t = 0.05; t < 10.01; t += 0.05)
        {
            hall.Advance(Math.Min(10, t), pieces);
        }

        hall.Advance(10, pieces);
        Assert.Equal(whole.Count, pieces.Count);
        Assert.All(whole.Zip(pieces), pair => Assert.True(
            pair.First.ReceivedS == pair.Second.ReceivedS && pair.First.Bytes.Span.SequenceEqual(pair.Second.Bytes.Span)));
    }

    [Fact]
    public void Losses_duplicates_and_overtaking_have_the_rates_asked_for()
    {
        var network = new NetworkOptions
        {
            SamplesPerPacket = 4, LossProbability = 0.05, BurstProbability = 0, DuplicateProbability = 0.04, ReorderProbability = 0.03, JitterS = 0,
        };
        var packets = Run(network, 40, new() { Seed = 2 });
        var reader = new PacketReader();
        var buffer = new PacketBuffer();
        var seen = packets.Select(p => (p, Sequence: Read(p))).ToList();
        var sent = seen.GroupBy(s => s.p.Sensor.Site).Sum(g => g.Max(s => (long)s.Sequence) + 1);
        var distinct = seen.Select(s => (s.p.Sensor.Site, s.Sequence)).Distinct().Count();
        var late = seen.Count(s => s.p.ReceivedS - s.p.SentS > 0.05);
        // Binomial: five deviations around the mean of some 12 000 packets.
        Within(0.05, 1 - ((double)distinct / sent), sent);
        Within(0.04, ((double)packets.Count / distinct) - 1, distinct);
        Within(0.03, (double)late / packets.Count, packets.Count);

        uint Read(SimulatedPacket packet)
        {
            Assert.Equal(PacketFault.None, reader.TryRead(packet.Bytes, buffer).Fault);
            return buffer.Header.Sequence;
        }

        static void Within(double expected, double found, double count) =>
            Assert.InRange(found, expected - (5 * Math.Sqrt(expected / count)), expected + (5 * Math.Sqrt(expected / count)));
    }

    [Fact]
    public void A_restart_begins_a_new_boot_with_clock_and_numbers_from_zero()
    {
        var packets = Run(new() { RebootProbability = 0.005 }, 40, new() { Seed = 4 }).Where(p => p.Sensor.Site == Site.Trunk).ToList();
        var reader = new PacketReader();
        var buffer = new PacketBuffer();
        var boots = new Dictionary<BootId, (uint Sequence, long Clock)>();
        foreach (var packet in packets)
        {
            Assert.Equal(PacketFault.None, reader.TryRead(packet.Bytes, buffer).Fault);
            var header = buffer.Header;
            boots[header.Boot] = boots.TryGetValue(header.Boot, out var first) && first.Sequence < header.Sequence
                ? first : (header.Sequence, header.FirstSampleDeviceMicroseconds);
        }

        Assert.True(boots.Count > 1);
        Assert.All(boots.Values, first => Assert.True(first.Clock < 500_000 * (first.Sequence + 1)));
    }

    [Fact]
    public void A_stated_offset_leads_to_the_hall_clock_within_the_clocks_error()
    {
        var hall = new HallSimulation(new() { Seed = 6 }, NetworkOptions.Faultless with { FirmwareKnowsOffset = true });
        var packets = new List<SimulatedPacket>();
        hall.Advance(20, packets);
        var reader = new PacketReader();
        var buffer = new PacketBuffer();
        foreach (var packet in packets)
        {
            Assert.Equal(PacketFault.None, reader.TryRead(packet.Bytes, buffer).Fault);
            var last = buffer.Header.DeviceMicroseconds(buffer.Count - 1) + buffer.Header.HallMinusDeviceMicroseconds!.Value;
            // 1 ms one deviation, cut here at five.
            Assert.InRange(last - hall.HallTime(packet.SentS).Microseconds, -5000, 5000);
        }
    }
}
