using System.Formats.Cbor;
using Saltograph.Imu;
using Saltograph.Wire.Packets;

namespace Saltograph.Wire.Tests;

/// <summary>
/// Byte vectors of the CBOR standards. Appendix A of RFC 8949 (also published as cbor/test-vectors, appendix_a.json):
/// each item stands as the value of an unknown key, which must be skipped whatever it holds.
/// </summary>
public class CborVectorTests
{
    private const string AppendixA =
        "00 01 0a 17 1818 1819 1864 1903e8 1a000f4240 1b000000e8d4a51000 1bffffffffffffffff c249010000000000000000 " +
        "3bffffffffffffffff c349010000000000000000 20 29 3863 3903e7 " +
        "f90000 f98000 f93c00 fb3ff199999999999a f93e00 f97bff fa47c35000 fa7f7fffff fb7e37e43c8800759c f90001 f90400 f9c400 " +
        "fbc010666666666666 f97c00 f97e00 f9fc00 fa7f800000 fa7fc00000 faff800000 fb7ff0000000000000 fb7ff8000000000000 " +
        "fbfff0000000000000 f4 f5 f6 f7 f0 f8ff c074323031332d30332d32315432303a30343a30305a c11a514b67b0 c1fb41d452d9ec200000 " +
        "d74401020304 d818456449455446 d82076687474703a2f2f7777772e6578616d706c652e636f6d 40 4401020304 60 6161 6449455446 " +
        "62225c 62c3bc 63e6b0b4 64f0908591 80 83010203 8301820203820405 " +
        "98190102030405060708090a0b0c0d0e0f101112131415161718181819 a0 a201020304 a26161016162820203 826161a161626163 " +
        "a56161614161626142616361436164614461656145 5f42010243030405ff 7f657374726561646d696e67ff 9fff 9f018202039f0405ffff " +
        "9f01820203820405ff 83018202039f0405ff 83019f0203ff820405 9f0102030405060708090a0b0c0d0e0f101112131415161718181819ff " +
        "bf61610161629f0203ffff 826161bf61626163ff bf6346756ef563416d7421ff";

    // Appendix F.1 of RFC 8949: not well-formed, by kind (end too early, reserved information values, reserved
    // two-byte simple values, wrong chunks, break in the wrong place, odd number of items in an indefinite map).
    private const string NotWellFormed =
        "18 19 1a 1b 1901 1a0102 1b01020304050607 38 58 78 98 9a01ff00 b8 d8 f8 f900 fa0000 fb000000 " +
        "41 61 5affffffff00 5bffffffffffffffff010203 7affffffff00 7b7fffffffffffffff010203 " +
        "81 818181818181818181 8200 a1 a20102 a100 a2000000 c0 9f 9f0102 bf bf01020102 819f 9f8000 9f9f9f9f9fffffffff 9f819f819f9fffffff " +
        "1c 1d 1e 3c 3d 3e 5c 5d 5e 7c 7d 7e 9c 9d 9e bc bd be dc dd de fc fd fe " +
        "f800 f801 f818 f81f 5f00ff 5f21ff 5f6100ff 5f80ff 5fa0ff 5fc000ff 5fe0ff 7f4100ff 5f5f4100ffff 7f7f6100ffff " +
        "ff 81ff 8200ff a1ff a1ff00 a100ff a20000ff 9f81ff 9f829f819f9fffffffff bf00ff bf000000ff 1f 3f df";

    [Fact]
    public void Every_item_of_appendix_A_is_skipped_under_an_unknown_key()
    {
        var items = AppendixA.Split(' ');
        Assert.Equal(81, items.Length); // the 82 published ones without simple(24), f818, which RFC 8949 made malformed
        foreach (var item in items)
        {
            var buffer = new PacketBuffer();
            var verdict = new PacketReader().TryRead(WithUnknownKey(item), buffer);
            Assert.True(verdict.IsAccepted, $"{item}: {verdict}");
            Assert.Equal(1, buffer.Count);
        }
    }

    [Fact]
    public void Nothing_of_appendix_F_is_accepted_under_an_unknown_key()
    {
        foreach (var item in NotWellFormed.Split(' '))
        {
            var verdict = new PacketReader().TryRead(WithUnknownKey(item), new());
            Assert.False(verdict.IsAccepted, item);
        }
    }

    [Fact]
    public void A_map_inside_an_unknown_key_must_be_valid_too()
    {
        // RFC 8949 section 5.6: a map with a key twice is not valid.
        Assert.Equal(PacketFault.Malformed, new PacketReader().TryRead(WithUnknownKey("a201020103"), new()).Fault);
        // Section 5.3.1: text must be UTF-8.
        Assert.Equal(PacketFault.Malformed, new PacketReader().TryRead(WithUnknownKey("61ff"), new()).Fault);
    }

    [Theory]
    [InlineData(1000, "1903e8")]
    [InlineData(-1000, "3903e7")]
    public void Integers_are_written_as_in_appendix_A(int temperature, string hex)
    {
        var packet = new PacketWriter().Write(PacketSamples.PlainHeader with { TemperatureCentiCelsius = temperature }, new short[6]);
        Assert.EndsWith("0b" + hex, Convert.ToHexStringLower(packet), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1.0, "f93c00")]
    [InlineData(1.1, "fb3ff199999999999a")]
    [InlineData(100000.0, "fa47c35000")]
    public void Floats_are_written_as_in_appendix_A_in_the_shortest_form_that_keeps_the_value(double scale, string hex)
    {
        var packet = new PacketWriter().Write(PacketSamples.PlainHeader with { GyroscopeCountRadps = scale }, new short[6]);
        Assert.Contains("07" + hex + "08d84d4c", Convert.ToHexStringLower(packet), StringComparison.Ordinal);
    }

    [Fact]
    public void A_typed_array_of_sint16_little_endian_follows_RFC_8746()
    {
        // RFC 8746 section 2.1: tag 77, then the bytes, low byte first: [0, 0, 2048, 16, -16, 0].
        const string Item = "d84d4c00000000000810 00f0ff0000";
        var hex = Item.Replace(" ", "", StringComparison.Ordinal);
        Assert.EndsWith("08" + hex, Convert.ToHexStringLower(PacketSamples.PlainPacket), StringComparison.Ordinal);

        var buffer = new PacketBuffer();
        new PacketReader().TryRead(PacketSamples.With((8, w => w.WriteEncodedValue(Convert.FromHexString(hex)))), buffer);
        Assert.Equal([0, 0, 2048, 16, -16, 0], Enumerable.Range(0, 6).Select(axis => (int)buffer.RawCount(0, axis)));
    }

    [Fact]
    public void Counts_become_the_quantities_of_the_worked_example()
    {
        // 2048 counts at 16 [g] full scale is 1 [g] = 9.80665 m/s2 (UCUM); 16 counts at 2000 deg/s is 0.9765625 deg/s.
        var buffer = new PacketBuffer();
        new PacketReader().TryRead(PacketSamples.PlainPacket, buffer);
        Assert.Equal(9.80665, buffer.SpecificForceSensorMps2(0).Z, 1e-12);
        Assert.Equal(0.9765625, buffer.AngularRateSensorRadps(0).X * Angles.DegPerRad, 1e-12);
        Assert.Equal(-0.0170442310, buffer.AngularRateSensorRadps(0).Y, 1e-10);
    }

    [Theory]
    // RFC 8746 section 3.1.1: {{2, 4, 8}, {4, 16, 256}}, row-major, as uint16 big-endian and as a basic array; section 3.1.2 column-major.
    [InlineData("d82882820203d8414c000200040008000400100100")]
    [InlineData("d8288282020386020408041019 0100")]
    [InlineData("d9041082820203860204041008190100")]
    public void Multi_dimensional_arrays_are_valid_but_not_samples(string item)
    {
        var bytes = Convert.FromHexString(item.Replace(" ", "", StringComparison.Ordinal));
        Assert.True(new PacketReader().TryRead(WithUnknownKey(Convert.ToHexString(bytes)), new()).IsAccepted);
        Assert.Equal(PacketFault.WrongType, new PacketReader().TryRead(PacketSamples.With((8, w => w.WriteEncodedValue(bytes))), new()).Fault);
    }

    private static byte[] WithUnknownKey(string hex)
    {
        var plain = PacketSamples.PlainPacket;
        byte[] packet = [(byte)(plain[0] + 1), .. plain.AsSpan(1), 0x18, 0x64, .. Convert.FromHexString(hex)];
        Assert.Equal(0xa8, plain[0]);
        return packet;
    }
}
