using FsCheck.Xunit;
using Saltograph.Imu;
using Saltograph.Testing;
using Saltograph.Wire.Packets;

namespace Saltograph.Wire.Tests;

public class PacketRoundTripTests
{
    [Property(MaxTest = 500)]
    public void What_is_written_is_read_back_bit_for_bit(int seed)
    {
        var (header, counts, magnetometer) = PacketSamples.Random(new Random(seed));
        var bytes = new PacketWriter().Write(header, counts, magnetometer);
        var buffer = new PacketBuffer();

        var verdict = new PacketReader().TryRead(bytes, buffer);

        Assert.True(verdict.IsAccepted, verdict.ToString());
        Assert.True(bytes.Length <= PacketFormat.MostBytes);
        Assert.Equal(header, buffer.Header);
        Assert.Equal(counts.Length / 6, buffer.Count);
        for (var i = 0; i < counts.Length; i++)
        {
            Assert.Equal(counts[i], buffer.RawCount(i / 6, i % 6));
        }
    }

    [Property(MaxTest = 200)]
    public void Counts_times_scale_are_the_quantities(int seed)
    {
        var (header, counts, magnetometer) = PacketSamples.Random(new Random(seed));
        var buffer = new PacketBuffer();
        new PacketReader().TryRead(new PacketWriter().Write(header, counts, magnetometer), buffer);

        for (var i = 0; i < buffer.Count; i++)
        {
            var c = counts.AsSpan(6 * i, 6);
            Assert.Equal(header.AccelerometerCountMps2 * new Vector3D(c[0], c[1], c[2]), buffer.SpecificForceSensorMps2(i));
            Assert.Equal(header.GyroscopeCountRadps * new Vector3D(c[3], c[4], c[5]), buffer.AngularRateSensorRadps(i));
            Assert.Equal(c[..3].ContainsAny((short)-32768, (short)32767), buffer.Marks(i).HasFlag(SampleMarks.AccelerometerSaturated));
            Assert.Equal(c[3..].ContainsAny((short)-32768, (short)32767), buffer.Marks(i).HasFlag(SampleMarks.GyroscopeSaturated));
            if (magnetometer.Length == 0)
            {
                Assert.Null(buffer.MagneticFieldSensorUT(i));
            }
            else if (!magnetometer.AsSpan(3 * i, 3).ContainsAny((short)-32768, (short)32767))
            {
                Assert.Equal(
                    header.MagnetometerCountUT!.Value * new Vector3D(magnetometer[3 * i], magnetometer[(3 * i) + 1], magnetometer[(3 * i) + 2]),
                    buffer.MagneticFieldSensorUT(i));
            }
        }
    }

    [Fact]
    public void Reading_and_writing_a_packet_allocates_nothing_when_warm()
    {
        var (header, counts, magnetometer) = PacketSamples.Random(new Random(5));
        var writer = new PacketWriter();
        var reader = new PacketReader();
        var buffer = new PacketBuffer();
        var bytes = new byte[PacketFormat.MostBytes];
        double sum = 0;
        void Once()
        {
            var length = writer.Write(header, counts, magnetometer, bytes);
            reader.TryRead(bytes.AsMemory(0, length), buffer);
            for (var i = 0; i < buffer.Count; i++)
            {
                sum += buffer.SpecificForceSensorMps2(i).X + buffer.AngularRateSensorRadps(i).X + (double)buffer.Marks(i);
            }
        }

        Assert.Equal(0, Allocation.LeastBytes(_ =>
        {
            for (var i = 0; i < 300; i++)
            {
                Once();
            }
        }));
        Assert.Equal(1200, reader.Counts[PacketFault.None]);
        Assert.NotEqual(0, sum);
    }

    [Fact]
    public void A_packet_of_fifty_samples_takes_12_82_bytes_per_sample()
    {
        // By hand from RFC 8949 section 3: typed array d8 4d 59 02 58 + 600 bytes = 605; before it a8, 01 01, 02 + u32,
        // 03 07, 04 + u32, 05 + u32, 06 + float32, 07 + float32, 08 = 1 + 2 + 6 + 2 + 6 + 6 + 6 + 6 + 1 = 36.
        var header = PacketSamples.PlainHeader with
        {
            AccelerometerCountMps2 = (float)PacketSamples.PlainHeader.AccelerometerCountMps2,
            GyroscopeCountRadps = (float)PacketSamples.PlainHeader.GyroscopeCountRadps,
        };
        Assert.Equal(36 + 605, new PacketWriter().Write(header, new short[300]).Length);
    }

    [Fact]
    public void A_header_that_the_format_does_not_allow_is_a_wrong_call()
    {
        var writer = new PacketWriter();
        short[] one = [0, 0, 0, 0, 0, 0];
        var plain = PacketSamples.PlainHeader;
        Assert.Throws<ArgumentException>(() => writer.Write(plain, []));
        Assert.Throws<ArgumentException>(() => writer.Write(plain, new short[7]));
        Assert.Throws<ArgumentException>(() => writer.Write(plain, new short[513 * 6]));
        Assert.Throws<ArgumentException>(() => writer.Write(plain, one, new short[3]));
        Assert.Throws<ArgumentException>(() => writer.Write(plain with { IntervalNanoseconds = 0 }, one));
        Assert.Throws<ArgumentException>(() => writer.Write(plain with { FirstSampleDeviceMicroseconds = -1 }, one));
        Assert.Throws<ArgumentException>(() => writer.Write(plain with { GyroscopeCountRadps = double.NaN }, one));
        Assert.Throws<ArgumentException>(() => writer.Write(plain with { BatteryPercent = 101 }, one));
        Assert.Contains("allowed", Assert.Throws<ArgumentException>(() => writer.Write(plain with { AccelerometerCountMps2 = 0 }, one)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Sample_times_are_rounded_to_the_nearest_microsecond_without_drift()
    {
        // 2403846 ns: sample 511 is 511 x 2403.846 us = 1228365.306 us after the first.
        var header = PacketSamples.PlainHeader;
        Assert.Equal(1_000_000, header.DeviceMicroseconds(0));
        Assert.Equal(1_002_404, header.DeviceMicroseconds(1));
        Assert.Equal(2_228_365, header.DeviceMicroseconds(511));
    }
}
