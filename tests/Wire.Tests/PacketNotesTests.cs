using System.Globalization;
using System.Text.RegularExpressions;
using Saltograph.Imu;
using Saltograph.Testing;
using Saltograph.Wire.Packets;

namespace Saltograph.Wire.Tests;

/// <summary>firmware-notes/packet.md says what the reader does.</summary>
public partial class PacketNotesTests
{
    private static readonly string Notes = File.ReadAllText(Path.Combine(Repository.Root, "firmware-notes", "packet.md"));

    [Fact]
    public void The_annotated_example_decodes_to_what_its_notes_say()
    {
        var buffer = new PacketBuffer();
        var verdict = new PacketReader().TryRead(Example(), buffer);

        Assert.True(verdict.IsAccepted, verdict.ToString());
        var header = buffer.Header;
        Assert.Equal(new BootId(0x1a2b3c4d), header.Boot);
        Assert.Equal(7u, header.Sequence);
        Assert.Equal(1_000_000, header.FirstSampleDeviceMicroseconds);
        Assert.Equal(2_403_846u, header.IntervalNanoseconds);
        Assert.Equal(16 * 9.80665 / 32768, header.AccelerometerCountMps2, 1e-9);
        Assert.Equal(2000 * Math.PI / 180 / 32768, header.GyroscopeCountRadps, 1e-10);
        Assert.Equal("2026-11-24T18:03:05.250000Z", Rfc3339.Text(new(header.FirstSampleDeviceMicroseconds + header.HallMinusDeviceMicroseconds!.Value)));
        Assert.Equal(2, buffer.Count);
        Assert.Equal(9.80665, buffer.SpecificForceSensorMps2(0).Z, 1e-5);
        Assert.Equal(SampleMarks.None, buffer.Marks(0));
        Assert.Equal(SampleMarks.AccelerometerSaturated | SampleMarks.GyroscopeSaturated, buffer.Marks(1));
        int[] expected = [0, 0, 2048, 16, -16, 0, -32768, 1, 2047, 0, 32767, -1];
        Assert.Equal(expected, Enumerable.Range(0, 12).Select(i => (int)buffer.RawCount(i / 6, i % 6)));
    }

    [Fact]
    public void The_writer_produces_the_bytes_of_the_example()
    {
        var header = new PacketHeader
        {
            Boot = new BootId(0x1a2b3c4d),
            Sequence = 7,
            FirstSampleDeviceMicroseconds = 1_000_000,
            IntervalNanoseconds = 2_403_846,
            AccelerometerCountMps2 = (float)(16 * 9.80665 / 32768),
            GyroscopeCountRadps = (float)(2000 * Math.PI / 180 / 32768),
            HallMinusDeviceMicroseconds = 1_795_543_384_250_000,
        };
        var written = new PacketWriter().Write(header, [0, 0, 2048, 16, -16, 0, -32768, 1, 2047, 0, 32767, -1]);
        Assert.Equal(Convert.ToHexStringLower(Example()), Convert.ToHexStringLower(written));
    }

    [Fact]
    public void Every_reason_for_refusal_is_listed()
    {
        var listed = ReasonRow().Matches(Notes).Select(match => match.Groups["reason"].Value).Order(StringComparer.Ordinal);
        var reasons = Enum.GetNames<PacketFault>().Where(name => name != nameof(PacketFault.None)).Order(StringComparer.Ordinal);
        Assert.Equal(reasons, listed);
    }

    [Theory]
    [InlineData(24, 329)]
    [InlineData(50, 641)]
    public void The_sizes_that_are_named_are_right(int samples, int bytes)
    {
        Assert.Contains(string.Create(CultureInfo.InvariantCulture, $"{samples} samples {bytes} bytes"), Notes, StringComparison.Ordinal);
        var header = PacketSamples.PlainHeader with
        {
            AccelerometerCountMps2 = (float)PacketSamples.PlainHeader.AccelerometerCountMps2,
            GyroscopeCountRadps = (float)PacketSamples.PlainHeader.GyroscopeCountRadps,
        };
        Assert.Equal(bytes, new PacketWriter().Write(header, new short[6 * samples]).Length);
    }

    private static byte[] Example()
    {
        var block = HexBlock().Match(Notes).Groups["bytes"].Value;
        var digits = string.Concat(block.Split('\n').Select(line => line.Split('#')[0])).Where(char.IsAsciiHexDigit);
        return Convert.FromHexString(string.Concat(digits));
    }

    [GeneratedRegex("```hex\n(?<bytes>.*?)```", RegexOptions.Singleline | RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex HexBlock();

    [GeneratedRegex(@"^\| `(?<reason>[A-Za-z]+)` \|", RegexOptions.Multiline | RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex ReasonRow();
}
