using FsCheck;
using FsCheck.Fluent;
using FsCheck.Xunit;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Tests.Ingest;

public sealed class PacketBordersTests
{
    private const int Limit = 1000;

    // Remaining lengths and their bytes: MQTT 5.0 section 1.5.5, table 1-1 (variable byte integer).
    [Theory]
    [InlineData(0, new byte[] { 0x00 })]
    [InlineData(127, new byte[] { 0x7f })]
    [InlineData(128, new byte[] { 0x80, 0x01 })]
    [InlineData(16_383, new byte[] { 0xff, 0x7f })]
    [InlineData(16_384, new byte[] { 0x80, 0x80, 0x01 })]
    [InlineData(2_097_151, new byte[] { 0xff, 0xff, 0x7f })]
    [InlineData(2_097_152, new byte[] { 0x80, 0x80, 0x80, 0x01 })]
    [InlineData(268_435_455, new byte[] { 0xff, 0xff, 0xff, 0x7f })]
    public void A_length_is_let_through_up_to_the_limit_and_not_beyond(int length, byte[] bytes)
    {
        Assert.True(new PacketBorders(length).Follow([0x30, .. bytes]));
        Assert.False(length > 0 && new PacketBorders(length - 1).Follow([0x30, .. bytes]));
    }

    [Fact]
    public void A_length_field_of_five_bytes_is_refused() =>
        Assert.False(new PacketBorders(int.MaxValue).Follow([0x30, 0x80, 0x80, 0x80, 0x80, 0x01]));

    [FsCheck.Xunit.Property(MaxTest = 300)]
    public Property Packets_within_the_limit_pass_however_they_are_cut() => Prop.ForAll(
        Gen.Choose(0, Limit).NonEmptyListOf().ToArbitrary(),
        Gen.Choose(1, 700).NonEmptyListOf().ToArbitrary(),
        (lengths, cuts) =>
        {
            var stream = lengths.SelectMany(Packet).ToArray();
            var borders = new PacketBorders(Limit);
            var position = 0;
            for (var i = 0; position < stream.Length; i++)
            {
                var piece = Math.Min(cuts[i % cuts.Count], stream.Length - position);
                if (!borders.Follow(stream.AsSpan(position, piece)))
                {
                    return false;
                }

                position += piece;
            }

            return !borders.Follow(Packet(Limit + 1).ToArray()); // and the border after the last one is still known
        });

    // The body is 0xff throughout, which would be an overlong length if it were taken for a header.
    private static IEnumerable<byte> Packet(int length) =>
        length < 128
            ? [0x30, (byte)length, .. Enumerable.Repeat((byte)0xff, length)]
            : [0x30, (byte)((length & 0x7f) | 0x80), (byte)(length >> 7), .. Enumerable.Repeat((byte)0xff, length)];
}
