using Saltograph.Imu;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Wire.Packets;

namespace Saltograph.Simulator.Tests.Network;

/// <summary>Packets on their way to the hall.</summary>
public sealed class PacketTests
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
        Assert.All(packets, packet => Assert.True(packet.ReceivedS >= packet.SentS + 0.005));
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
            if (buffer.Header.HallMinusDeviceMicroseconds is not { } offset)
            {
                Assert.True(packet.SentS < 1.1); // not asked for the time yet
                continue;
            }

            var last = buffer.Header.DeviceMicroseconds(buffer.Count - 1) + offset;
            // 1 ms one deviation, cut here at five.
            Assert.InRange(last - hall.HallTime(packet.SentS).Microseconds, -5000, 5000);
        }
    }

    [Fact]
    public void A_device_clock_runs_with_the_crystal_that_paces_the_samples()
    {
        var options = new SimulationOptions { Seed = 6, Sensors = new() { ClockDriftPpm = 200 } };
        var driftsPpm = Enum.GetValues<Site>().Select(site => new AthleteSimulation(options, 0, new("amsel")).SamplerAt(site).DriftPpm).ToArray();
        var packets = Run(NetworkOptions.Faultless, 30, options);
        foreach (var site in Enum.GetValues<Site>())
        {
            var own = packets.Where(packet => packet.Sensor.Site == site).ToList();
            var deviceS = (Header(own[^1]).FirstSampleDeviceMicroseconds - Header(own[0]).FirstSampleDeviceMicroseconds) * 1e-6;

            // A crystal that is slow by x ppm shows less time; stamps are whole microseconds of 30 s.
            Assert.Equal(driftsPpm[(int)site], ((own[^1].SentS - own[0].SentS) / deviceS * 1e6) - 1e6, 0.1);
        }
    }

    [Fact]
    public void A_hall_that_is_completed_is_the_session_of_the_same_seed()
    {
        var options = new SimulationOptions { Seed = 4, AthleteCount = 2, DurationS = 30 };
        var session = SimulatedSession.Simulate(options);
        var hall = new HallSimulation(options, NetworkOptions.Faultless);
        var packets = new List<SimulatedPacket>();
        hall.Advance(30, packets);
        hall.Complete(packets);
        for (var i = 0; i < session.Count; i++)
        {
            Assert.Equal(session[i].Jumps, hall.Athletes[i].Jumps);
            Assert.Equal(session[i].Distractors, hall.Athletes[i].Distractors);
            foreach (var site in Enum.GetValues<Site>())
            {
                var sent = packets.Where(packet => packet.Sensor.Athlete == session[i].Athlete && packet.Sensor.Site == site).Sum(packet => (long)Samples(packet));
                Assert.Equal(session[i].At(site).Count, sent);
            }
        }

        Assert.NotEmpty(hall.Athletes[0].Jumps);
    }

    [Fact]
    public void What_a_hall_keeps_does_not_grow()
    {
        const double lengthS = 480;
        var hall = new HallSimulation(new() { Seed = 1, Sensors = new() { SampleRateHz = 50 } }, new());
        var packets = new List<SimulatedPacket>();
        long early = 0;
        long late = 0;
        for (var untilS = 20.0; untilS <= lengthS; untilS += 20)
        {
            hall.Advance(untilS, packets);
            packets.Clear();
            hall.Athletes[0].Jumps.Clear();
            hall.Athletes[0].Distractors.Clear();
            var kept = RetainedObjects.Count(hall);
            (early, late) = untilS <= lengthS / 3 ? (Math.Max(early, kept), late) : (early, Math.Max(late, kept));
        }

        // Elements differ in length, and a list that was once full keeps its room; a leak would more than double
        // it. Two hours once gave 106 192 in the first third and 106 652 later.
        Assert.InRange(early, 1000, 200_000);
        Assert.InRange(late, 0, 1.5 * early);
        TestContext.Current.TestOutputHelper?.WriteLine($"kept: {early} in the first third, {late} later");
    }

    private static PacketHeader Header(SimulatedPacket packet) => Read(packet).Header;

    private static int Samples(SimulatedPacket packet) => Read(packet).Count;

    private static PacketBuffer Read(SimulatedPacket packet)
    {
        var buffer = new PacketBuffer();
        Assert.Equal(PacketFault.None, new PacketReader().TryRead(packet.Bytes, buffer).Fault);
        return buffer;
    }
}
