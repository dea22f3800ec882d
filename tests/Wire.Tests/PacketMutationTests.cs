using Saltograph.Wire.Packets;

namespace Saltograph.Wire.Tests;

/// <summary>Whatever happens to a packet on its way, reading it ends with a verdict.</summary>
public class PacketMutationTests
{
    private const int Short = 100_000;
    private const int Long = 1_000_000;

    [Fact]
    public void Mutated_packets_never_throw_and_are_whole_or_refused()
    {
        var count = Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1" ? Long : Short;
        var random = new Random(20261124);
        var writer = new PacketWriter();
        var reader = new PacketReader();
        var buffer = new PacketBuffer();
        var packets = Enumerable.Range(0, 64)
            .Select(_ => PacketSamples.Random(random))
            .Select((p, i) => i % 2 == 0
                ? writer.Write(p.Header, p.Counts.AsSpan(0, 6), p.Magnetometer.AsSpan(0, Math.Min(3, p.Magnetometer.Length)))
                : writer.Write(p.Header, p.Counts, p.Magnetometer))
            .ToArray();

        for (var i = 0; i < count; i++)
        {
            var mutated = Mutate(random, packets[random.Next(packets.Length)], packets);
            var verdict = reader.TryRead(mutated, buffer);
            if (verdict.IsAccepted)
            {
                RequireWhole(buffer);
            }
            else if (buffer.Count != 0 || !verdict.Message.Contains("allowed", StringComparison.Ordinal))
            {
                Assert.Fail($"{Convert.ToHexString(mutated)}: {verdict}");
            }
        }

        Assert.Equal(count, reader.Counts[PacketFault.None] + reader.Counts.Rejected);
        // The mutations reach every reason but one: for that, a length and as many bytes would have to change together.
        Assert.All(
            Enum.GetValues<PacketFault>().Except([PacketFault.MagnetometerCountMismatch]),
            fault => Assert.True(reader.Counts[fault] > 0, $"no mutation led to {fault}"));
    }

    private static void RequireWhole(PacketBuffer buffer)
    {
        Assert.InRange(buffer.Count, 1, PacketFormat.MostSamples);
        Assert.InRange(buffer.Header.IntervalNanoseconds, 1u, uint.MaxValue);
        var last = buffer.Count - 1;
        Assert.True(buffer.SpecificForceSensorMps2(last).IsFinite || buffer.Header.AccelerometerCountMps2 > 1e300);
        Assert.True(buffer.AngularRateSensorRadps(last).IsFinite || buffer.Header.GyroscopeCountRadps > 1e300);
        Assert.True(buffer.Header.DeviceMicroseconds(last) >= buffer.Header.FirstSampleDeviceMicroseconds);
        Assert.Equal(buffer.HasMagnetometer, buffer.Header.MagnetometerCountUT is not null);
    }

    private static byte[] Mutate(Random random, byte[] packet, byte[][] others)
    {
        var bytes = packet.ToList();
        for (var rounds = random.Next(1, 4); rounds > 0; rounds--)
        {
            // Mostly near the front, where the header is: the bulk of a packet is samples, which may be anything.
            var at = random.Next(random.Next(2) == 0 ? bytes.Count + 1 : Math.Min(bytes.Count + 1, 48));
            switch (random.Next(9))
            {
                case 0 when at < bytes.Count:
                    bytes[at] ^= (byte)(1 << random.Next(8));
                    break;
                case 1 when at < bytes.Count:
                    bytes[at] = (byte)random.Next(256);
                    break;
                case 2:
                    bytes.Insert(at, (byte)random.Next(256));
                    break;
                case 3:
                    bytes.RemoveRange(at, Math.Min(random.Next(1, 9), bytes.Count - at));
                    break;
                case 4:
                    bytes.RemoveRange(at, bytes.Count - at);
                    break;
                case 5:
                    bytes.InsertRange(at, bytes.GetRange(at, Math.Min(random.Next(1, 16), bytes.Count - at)));
                    break;
                case 6:
                    bytes = [.. bytes.Take(at), .. others[random.Next(others.Length)].Skip(at)];
                    break;
                case 7:
                    bytes.AddRange(Enumerable.Repeat((byte)random.Next(256), random.Next(random.Next(50) == 0 ? 20_000 : 20)));
                    break;
                default:
                    bytes.InsertRange(at, Interesting[random.Next(Interesting.Length)]);
                    break;
            }
        }

        return [.. bytes];
    }

    // Openings of long, nested or unfinished items.
    private static readonly byte[][] Interesting =
    [
        [0x5b, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff], [0x9f], [0xbf], [0x5f], [0x7f], [0xff], [0xd8, 0x4d],
        [0x9b, 0x7f, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff], [.. Enumerable.Repeat((byte)0x81, 2000)], [0xfb, 0x7f, 0xf8, 0, 0, 0, 0, 0, 0],
        [0x1b, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff], [0xf9, 0x7c, 0x00], [0x20], [0xa0], [0x80], [0x05, 0x00], [0x01, 0x02],
    ];
}
