using System.Formats.Cbor;
using Saltograph.Wire.Packets;

namespace Saltograph.Wire.Tests;

public class PacketRejectionTests
{
    public static TheoryData<string, PacketFault, ulong, byte[]> Broken()
    {
        static byte[] With(int key, Action<CborWriter>? value) => PacketSamples.With((key, value));
        Action<CborWriter> oneMagnetometerSample = w => PacketSamples.Sint16(w, new byte[6]);
        var plain = PacketSamples.PlainPacket;
        return new()
        {
            { "nothing at all", PacketFault.Malformed, 0, [] },
            { "one byte over 16 KiB", PacketFault.TooLarge, 0, new byte[PacketFormat.MostBytes + 1] },
            { "cut short", PacketFault.Malformed, 0, plain[..^1] },
            { "a byte after the map", PacketFault.TrailingBytes, 0, [.. plain, 0] },
            { "an array", PacketFault.NotAMap, 0, [0x80] },
            { "a text key", PacketFault.KeyNotUnsigned, 0, [0xa1, 0x61, 0x61, 0x01] },
            { "a negative key", PacketFault.KeyNotUnsigned, 0, [0xa1, 0x20, 0x01] },
            { "a known key twice", PacketFault.DuplicateKey, 1, [0xa2, 0x01, 0x01, 0x01, 0x01] },
            { "an unknown key twice", PacketFault.DuplicateKey, 99, [0xa2, 0x18, 0x63, 0x01, 0x18, 0x63, 0x01] },
            { "a second key that is cut", PacketFault.Malformed, 0, [0xa2, 0x01, 0x01, 0x19, 0x01] },
            { "no version", PacketFault.MissingKey, 1, With(1, null) },
            { "no boot id", PacketFault.MissingKey, 2, With(2, null) },
            { "no sequence", PacketFault.MissingKey, 3, With(3, null) },
            { "no device clock", PacketFault.MissingKey, 4, With(4, null) },
            { "no interval", PacketFault.MissingKey, 5, With(5, null) },
            { "no accelerometer scale", PacketFault.MissingKey, 6, With(6, null) },
            { "no gyroscope scale", PacketFault.MissingKey, 7, With(7, null) },
            { "no samples", PacketFault.MissingKey, 8, With(8, null) },
            { "magnetometer without scale", PacketFault.MissingKey, 9, With(10, oneMagnetometerSample) },
            { "magnetometer scale alone", PacketFault.MissingKey, 10, With(9, w => w.WriteDouble(0.15)) },
            { "version 2", PacketFault.UnknownVersion, 1, With(1, w => w.WriteInt32(2)) },
            { "version as text", PacketFault.WrongType, 1, With(1, w => w.WriteTextString("1")) },
            { "boot id over 32 bits", PacketFault.ValueOutOfRange, 2, With(2, w => w.WriteInt64(1L << 32)) },
            { "sequence negative", PacketFault.WrongType, 3, With(3, w => w.WriteInt32(-1)) },
            { "device clock over 2^62", PacketFault.ValueOutOfRange, 4, With(4, w => w.WriteUInt64(ulong.MaxValue)) },
            { "device clock as float", PacketFault.WrongType, 4, With(4, w => w.WriteDouble(1)) },
            { "interval 0", PacketFault.NonPositiveInterval, 5, With(5, w => w.WriteInt32(0)) },
            { "interval negative", PacketFault.NonPositiveInterval, 5, With(5, w => w.WriteInt32(-2403846)) },
            { "interval over 32 bits", PacketFault.ValueOutOfRange, 5, With(5, w => w.WriteInt64(1L << 32)) },
            { "interval null", PacketFault.WrongType, 5, With(5, w => w.WriteNull()) },
            { "accelerometer scale NaN", PacketFault.BadScale, 6, With(6, w => w.WriteDouble(double.NaN)) },
            { "accelerometer scale infinite", PacketFault.BadScale, 6, With(6, w => w.WriteHalf(Half.PositiveInfinity)) },
            { "accelerometer scale that makes samples infinite", PacketFault.BadScale, 6, With(6, w => w.WriteDouble(1e305)) },
            { "accelerometer scale above 10^6", PacketFault.BadScale, 6, With(6, w => w.WriteDouble(1_000_000.5)) },
            { "accelerometer scale an integer", PacketFault.WrongType, 6, With(6, w => w.WriteInt32(1)) },
            { "gyroscope scale 0", PacketFault.BadScale, 7, With(7, w => w.WriteSingle(0)) },
            { "gyroscope scale negative", PacketFault.BadScale, 7, With(7, w => w.WriteSingle(-0.001f)) },
            { "no sample", PacketFault.BrokenArrayLength, 8, With(8, w => PacketSamples.Sint16(w, [])) },
            { "half a sample", PacketFault.BrokenArrayLength, 8, With(8, w => PacketSamples.Sint16(w, new byte[18])) },
            { "513 samples", PacketFault.BrokenArrayLength, 8, With(8, w => PacketSamples.Sint16(w, new byte[513 * 12])) },
            { "samples big-endian", PacketFault.WrongType, 8, With(8, w => { w.WriteTag((CborTag)73); w.WriteByteString(new byte[12]); }) },
            { "samples without tag", PacketFault.WrongType, 8, With(8, w => w.WriteByteString(new byte[12])) },
            { "tag on an array", PacketFault.WrongType, 8, With(8, w => { w.WriteTag((CborTag)77); w.WriteStartArray(0); w.WriteEndArray(); }) },
            { "half a magnetometer sample", PacketFault.BrokenArrayLength, 10, PacketSamples.With((9, w => w.WriteDouble(0.15)), (10, w => PacketSamples.Sint16(w, new byte[4]))) },
            { "two magnetometer samples for one", PacketFault.MagnetometerCountMismatch, 10, PacketSamples.With((9, w => w.WriteDouble(0.15)), (10, w => PacketSamples.Sint16(w, new byte[12]))) },
            { "temperature as text", PacketFault.WrongType, 11, With(11, w => w.WriteTextString("21")) },
            { "battery negative", PacketFault.WrongType, 12, With(12, w => w.WriteInt32(-1)) },
            { "hall offset over 2^62", PacketFault.ValueOutOfRange, 13, With(13, w => w.WriteUInt64(1UL << 63)) },
            { "hall offset as float", PacketFault.WrongType, 13, With(13, w => w.WriteDouble(1)) },
        };
    }

    [Theory]
    [MemberData(nameof(Broken), DisableDiscoveryEnumeration = true)]
    public void A_broken_packet_is_refused_with_reason_place_and_what_is_allowed(string what, PacketFault fault, ulong key, byte[] packet)
    {
        var reader = new PacketReader();
        var buffer = new PacketBuffer();
        reader.TryRead(PacketSamples.PlainPacket, buffer);

        var verdict = reader.TryRead(packet, buffer);

        Assert.True(fault == verdict.Fault && key == verdict.Key, $"{what}: {verdict}");
        Assert.Contains("found", verdict.Message, StringComparison.Ordinal);
        Assert.Contains("allowed", verdict.Message, StringComparison.Ordinal);
        Assert.Equal(0, buffer.Count);
        Assert.Equal(1, reader.Counts[fault]);
        Assert.Equal(1, reader.Counts.Rejected);
        Assert.True(reader.TryRead(PacketSamples.PlainPacket, buffer).IsAccepted, "the next packet must not suffer");
        Assert.Equal(1, buffer.Count);
    }

    [Fact]
    public void Every_reason_has_a_test_above()
    {
        var tested = Broken().Select(row => row.Data.Item2).ToHashSet();
        Assert.Equal(Enum.GetValues<PacketFault>().Where(fault => fault != PacketFault.None).Order(), tested.Order());
    }

    [Fact]
    public void A_message_names_the_number_that_was_found()
    {
        var verdict = new PacketReader().TryRead(PacketSamples.With((8, w => PacketSamples.Sint16(w, new byte[18]))), new());
        Assert.Equal("key 8 (samples): found 18 bytes; allowed: a multiple of 12 bytes, 12 to 6144.", verdict.Message);
    }

    [Theory]
    [InlineData("f91ce7")] // 0.004787 as float16, float32 and float64: all are CDDL float
    [InlineData("fa3b9ce3f5")]
    [InlineData("fb3f739c7e9b5f3e1a")]
    public void A_scale_may_be_a_float_of_any_width(string hex)
    {
        var buffer = new PacketBuffer();
        var verdict = new PacketReader().TryRead(PacketSamples.With((6, w => w.WriteEncodedValue(Convert.FromHexString(hex)))), buffer);
        Assert.True(verdict.IsAccepted, verdict.ToString());
        Assert.Equal(0.004787, buffer.Header.AccelerometerCountMps2, 3e-6);
    }

    [Fact]
    public void Odd_battery_and_temperature_values_count_as_not_measured_and_lose_no_sample()
    {
        var buffer = new PacketBuffer();
        var packet = PacketSamples.With((11, w => w.WriteInt64(-40_000)), (12, w => w.WriteInt32(255)));
        Assert.True(new PacketReader().TryRead(packet, buffer).IsAccepted);
        Assert.Null(buffer.Header.TemperatureCentiCelsius);
        Assert.Null(buffer.Header.BatteryPercent);
    }

    [Fact]
    public void Keys_may_come_in_any_order_and_map_and_bytes_in_pieces()
    {
        // Indefinite-length map with falling keys; the byte string in two chunks (RFC 8949 section 3.2).
        var writer = new CborWriter(CborConformanceMode.Lax);
        writer.WriteStartMap(null);
        writer.WriteInt32(8);
        writer.WriteTag((CborTag)77);
        writer.WriteStartIndefiniteLengthByteString();
        writer.WriteByteString([1, 0, 2, 0, 3]);
        writer.WriteByteString([0, 4, 0, 5, 0, 6, 0]);
        writer.WriteEndIndefiniteLengthByteString();
        writer.WriteInt32(7);
        writer.WriteDouble(0.001);
        writer.WriteInt32(6);
        writer.WriteDouble(0.005);
        foreach (var (key, value) in new[] { (5, 1_000_000), (4, 12), (3, 0), (2, 9), (1, 1) })
        {
            writer.WriteInt32(key);
            writer.WriteInt32(value);
        }

        writer.WriteEndMap();
        var buffer = new PacketBuffer();

        var verdict = new PacketReader().TryRead(writer.Encode(), buffer);

        Assert.True(verdict.IsAccepted, verdict.ToString());
        Assert.Equal([1, 2, 3, 4, 5, 6], Enumerable.Range(0, 6).Select(axis => (int)buffer.RawCount(0, axis)));
    }
}
