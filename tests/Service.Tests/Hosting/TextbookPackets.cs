using Saltograph.Imu;
using Saltograph.Wire.Packets;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>Textbook jumps as the packets of a trunk sensor whose firmware knows the hall's clock.</summary>
internal static class TextbookPackets
{
    private const int SamplesPerPacket = 20;
    private const double AccelerometerScale = 16 * Gravity.StandardMps2 / 32_768; // 16 g over 16 bit
    private const long HallMinusDeviceUs = 1_790_000_000_000_000;

    public static List<byte[]> Of(int jumps, uint boot)
    {
        var forces = TextbookJumps.Several(jumps);
        var writer = new PacketWriter();
        var packets = new List<byte[]>();
        var counts = new short[SamplesPerPacket * PacketFormat.AxesPerSample];
        for (var first = 0; first + SamplesPerPacket <= forces.Length; first += SamplesPerPacket)
        {
            for (var i = 0; i < SamplesPerPacket; i++)
            {
                counts[(i * PacketFormat.AxesPerSample) + 2] = (short)Math.Round(forces[first + i] / AccelerometerScale);
            }

            var header = new PacketHeader
            {
                Boot = new(boot),
                Sequence = (uint)packets.Count,
                FirstSampleDeviceMicroseconds = (long)(first * 1e6 / TextbookJumps.RateHz),
                IntervalNanoseconds = (uint)(1e9 / TextbookJumps.RateHz),
                AccelerometerCountMps2 = AccelerometerScale,
                GyroscopeCountRadps = 0.001,
                HallMinusDeviceMicroseconds = HallMinusDeviceUs,
            };
            packets.Add(writer.Write(header, counts));
        }

        return packets;
    }
}
