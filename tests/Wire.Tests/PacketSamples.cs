using System.Formats.Cbor;
using Saltograph.Imu;
using Saltograph.Wire.Packets;

namespace Saltograph.Wire.Tests;

/// <summary>Packets for the tests: valid ones at random, and maps put together entry by entry.</summary>
internal static class PacketSamples
{
    public static PacketHeader PlainHeader { get; } = new()
    {
        Boot = new BootId(0x1a2b3c4d),
        Sequence = 7,
        FirstSampleDeviceMicroseconds = 1_000_000,
        IntervalNanoseconds = 2_403_846,
        AccelerometerCountMps2 = 16 * Gravity.StandardMps2 / 32768,
        GyroscopeCountRadps = 2000 * Angles.RadPerDeg / 32768,
    };

    public static byte[] PlainPacket => new PacketWriter().Write(PlainHeader, [0, 0, 2048, 16, -16, 0]);

    public static (PacketHeader Header, short[] Counts, short[] Magnetometer) Random(Random random)
    {
        var samples = random.Next(1, random.Next(2, PacketFormat.MostSamples + 2));
        var hasMagnetometer = random.Next(3) == 0;
        var header = new PacketHeader
        {
            Boot = new BootId((uint)random.NextInt64(0, 1L << 32)),
            Sequence = (uint)random.NextInt64(0, 1L << 32),
            FirstSampleDeviceMicroseconds = random.NextInt64(0, 1L << random.Next(1, 62)),
            IntervalNanoseconds = (uint)random.NextInt64(1, 1L << 32),
            AccelerometerCountMps2 = Scale(random),
            GyroscopeCountRadps = Scale(random),
            MagnetometerCountUT = hasMagnetometer ? Scale(random) : null,
            TemperatureCentiCelsius = random.Next(2) == 0 ? random.Next(-4000, 12000) : null,
            BatteryPercent = random.Next(2) == 0 ? random.Next(0, 101) : null,
            HallMinusDeviceMicroseconds = random.Next(2) == 0 ? random.NextInt64(-(1L << 61), 1L << 61) : null,
        };
        return (header, Counts(random, samples * 6), hasMagnetometer ? Counts(random, samples * 3) : []);
    }

    /// <summary>A map with the entries of a plain packet; a replacement takes the place of an entry, null removes it.</summary>
    public static byte[] With(params (int Key, Action<CborWriter>? Value)[] replacements)
    {
        var entries = new SortedDictionary<int, Action<CborWriter>?>
        {
            [1] = w => w.WriteInt32(1),
            [2] = w => w.WriteUInt32(PlainHeader.Boot.Value),
            [3] = w => w.WriteInt32(7),
            [4] = w => w.WriteInt32(1_000_000),
            [5] = w => w.WriteInt32(2_403_846),
            [6] = w => w.WriteDouble(PlainHeader.AccelerometerCountMps2),
            [7] = w => w.WriteDouble(PlainHeader.GyroscopeCountRadps),
            [8] = w => Sint16(w, new byte[12]),
        };
        foreach (var (key, value) in replacements)
        {
            entries[key] = value;
        }

        var writer = new CborWriter(CborConformanceMode.Lax);
        writer.WriteStartMap(entries.Values.Count(value => value is not null));
        foreach (var (key, value) in entries)
        {
            if (value is not null)
            {
                writer.WriteInt32(key);
                value(writer);
            }
        }

        writer.WriteEndMap();
        return writer.Encode();
    }

    public static void Sint16(CborWriter writer, byte[] bytes)
    {
        writer.WriteTag((CborTag)77);
        writer.WriteByteString(bytes);
    }

    private static short[] Counts(Random random, int count)
    {
        var counts = new short[count];
        for (var i = 0; i < count; i++)
        {
            counts[i] = (short)random.Next(short.MinValue, short.MaxValue + 1);
        }

        return counts;
    }

    private static double Scale(Random random) => random.Next(3) switch
    {
        0 => (float)Math.Exp(random.NextDouble() * 20 - 15),
        1 => (double)(Half)Math.Exp(random.NextDouble() * 5 - 5),
        _ => Math.Exp(random.NextDouble() * 20 - 15),
    };
}
