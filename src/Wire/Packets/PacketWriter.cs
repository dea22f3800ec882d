using System.Buffers.Binary;
using System.Formats.Cbor;
using System.Globalization;

namespace Saltograph.Wire.Packets;

/// <summary>
/// Writes IMU packets as <see cref="PacketReader"/> reads them: keys in rising order, each number in its shortest form
/// that keeps the value (floats too). One writer serves one thread.
/// </summary>
public sealed class PacketWriter
{
    private readonly CborWriter _writer = new(CborConformanceMode.Strict, convertIndefiniteLengthEncodings: false);
    private readonly byte[] _bytes = new byte[PacketFormat.MostSamples * PacketFormat.BytesPerSample];

    /// <summary>Writes one packet into a new array. Throws <see cref="ArgumentException"/> when the format does not allow it.</summary>
    /// <param name="header">Everything but the samples; a magnetometer scale exactly when there are magnetometer counts.</param>
    /// <param name="counts">ax ay az gx gy gz of each sample in turn: 6 to 3072 counts.</param>
    /// <param name="magnetometerCounts">mx my mz of the same samples; empty without magnetometer.</param>
    public byte[] Write(in PacketHeader header, ReadOnlySpan<short> counts, ReadOnlySpan<short> magnetometerCounts = default)
    {
        Encode(header, counts, magnetometerCounts);
        return _writer.Encode();
    }

    /// <summary>Writes one packet into memory of the caller and returns its length in bytes; otherwise as the other overload.</summary>
    public int Write(in PacketHeader header, ReadOnlySpan<short> counts, ReadOnlySpan<short> magnetometerCounts, Span<byte> destination)
    {
        Encode(header, counts, magnetometerCounts);
        return _writer.Encode(destination);
    }

    private void Encode(in PacketHeader header, ReadOnlySpan<short> counts, ReadOnlySpan<short> magnetometerCounts)
    {
        if (Refusal(header, counts.Length, magnetometerCounts.Length) is { } refusal)
        {
            throw new ArgumentException(refusal, nameof(header));
        }

        _writer.Reset();
        _writer.WriteStartMap(8
            + (header.MagnetometerCountUT is null ? 0 : 2)
            + (header.TemperatureCentiCelsius is null ? 0 : 1)
            + (header.BatteryPercent is null ? 0 : 1)
            + (header.HallMinusDeviceMicroseconds is null ? 0 : 1));
        Unsigned(PacketKey.Version, PacketFormat.Version);
        Unsigned(PacketKey.Boot, header.Boot.Value);
        Unsigned(PacketKey.Sequence, header.Sequence);
        Unsigned(PacketKey.FirstSample, (ulong)header.FirstSampleDeviceMicroseconds);
        Unsigned(PacketKey.Interval, header.IntervalNanoseconds);
        Float(PacketKey.AccelerometerScale, header.AccelerometerCountMps2);
        Float(PacketKey.GyroscopeScale, header.GyroscopeCountRadps);
        Array(PacketKey.Samples, counts);
        if (header.MagnetometerCountUT is { } magnetometerScale)
        {
            Float(PacketKey.MagnetometerScale, magnetometerScale);
            Array(PacketKey.MagnetometerSamples, magnetometerCounts);
        }

        Signed(PacketKey.Temperature, header.TemperatureCentiCelsius);
        Signed(PacketKey.Battery, header.BatteryPercent);
        Signed(PacketKey.HallMinusDevice, header.HallMinusDeviceMicroseconds);
        _writer.WriteEndMap();
    }

    private void Unsigned(int key, ulong value)
    {
        _writer.WriteInt32(key);
        _writer.WriteUInt64(value);
    }

    private void Signed(int key, long? value)
    {
        if (value is { } number)
        {
            _writer.WriteInt32(key);
            _writer.WriteInt64(number);
        }
    }

    private void Float(int key, double value)
    {
        _writer.WriteInt32(key);
        _writer.WriteDouble(value);
    }

    private void Array(int key, ReadOnlySpan<short> counts)
    {
        for (var i = 0; i < counts.Length; i++)
        {
            BinaryPrimitives.WriteInt16LittleEndian(_bytes.AsSpan(i * sizeof(short)), counts[i]);
        }

        _writer.WriteInt32(key);
        _writer.WriteTag((CborTag)PacketFormat.Sint16LittleEndianTag);
        _writer.WriteByteString(_bytes.AsSpan(0, counts.Length * sizeof(short)));
    }

    private static string? Refusal(in PacketHeader header, int counts, int magnetometerCounts)
    {
        var samples = counts / PacketFormat.AxesPerSample;
        var isWhole = counts % PacketFormat.AxesPerSample == 0 && samples is >= 1 and <= PacketFormat.MostSamples;
        var magnetometerExpected = header.MagnetometerCountUT is null ? 0 : samples * PacketFormat.MagnetometerAxesPerSample;
        var invariant = CultureInfo.InvariantCulture;
        return !isWhole
                ? string.Create(invariant, $"{counts} counts; allowed: 6 per sample, 1 to {PacketFormat.MostSamples} samples.")
            : magnetometerCounts != magnetometerExpected
                ? string.Create(invariant, $"{magnetometerCounts} magnetometer counts; allowed: {magnetometerExpected} (3 per sample with a scale, none without).")
            : header.IntervalNanoseconds == 0
                ? "interval 0 ns; allowed: 1 to 4294967295 ns."
            : header.FirstSampleDeviceMicroseconds is < 0 or > PacketFormat.LatestDeviceMicroseconds
                ? string.Create(invariant, $"device clock {header.FirstSampleDeviceMicroseconds} us; allowed: 0 to 2^62 us.")
            : !IsScale(header.AccelerometerCountMps2) || !IsScale(header.GyroscopeCountRadps)
                || !IsScale(header.MagnetometerCountUT ?? 1)
                ? "a scale outside the format; allowed: above 0, up to 1000000."
            : header.BatteryPercent is < 0 or > 100
                ? string.Create(invariant, $"battery {header.BatteryPercent} %; allowed: 0 to 100 %.")
            : null;
    }

    private static bool IsScale(double scale) => scale is > 0 and <= PacketFormat.LargestScale;
}
