using System.Buffers.Binary;
using Saltograph.Imu;

namespace Saltograph.Wire.Packets;

/// <summary>
/// One decoded packet. Made once and filled again and again, so that reading packets allocates nothing. Samples are kept
/// as the counts that were sent and become SI units on demand.
/// </summary>
public sealed class PacketBuffer
{
    private const short LowerRail = short.MinValue;
    private const short UpperRail = short.MaxValue;

    /// <summary>Header of the packet that was read last.</summary>
    public PacketHeader Header { get; internal set; }

    /// <summary>Samples in the packet, 1 to 512; 0 after a rejected packet.</summary>
    public int Count { get; internal set; }

    /// <summary>Whether every sample has a magnetometer reading.</summary>
    public bool HasMagnetometer { get; internal set; }

    internal byte[] Samples { get; } = new byte[PacketFormat.MostSamples * PacketFormat.BytesPerSample];

    internal byte[] MagnetometerSamples { get; } = new byte[PacketFormat.MostSamples * PacketFormat.MagnetometerBytesPerSample];

    /// <summary>Accelerometer of one sample, m/s2, sensor frame: about +9.8 upward at rest, 0 in free flight.</summary>
    /// <param name="index">0 to <see cref="Count"/> - 1.</param>
    public Vector3D SpecificForceSensorMps2(int index) => Header.AccelerometerCountMps2 * Triple(Samples, Row(index));

    /// <summary>Gyroscope of one sample, rad/s, sensor frame, right-handed.</summary>
    /// <param name="index">0 to <see cref="Count"/> - 1.</param>
    public Vector3D AngularRateSensorRadps(int index) => Header.GyroscopeCountRadps * Triple(Samples, Row(index) + 6);

    /// <summary>Magnetometer of one sample, uT, sensor frame; null without magnetometer or when an axis was at its rail.</summary>
    /// <param name="index">0 to <see cref="Count"/> - 1.</param>
    public Vector3D? MagneticFieldSensorUT(int index)
    {
        var row = Row(index) / PacketFormat.BytesPerSample * PacketFormat.MagnetometerBytesPerSample;
        return HasMagnetometer && !AtRail(MagnetometerSamples, row)
            ? Header.MagnetometerCountUT!.Value * Triple(MagnetometerSamples, row)
            : null;
    }

    /// <summary>Saturation of one sample: a count of -32768 or 32767 means "at the rail", never an exact value.</summary>
    /// <param name="index">0 to <see cref="Count"/> - 1.</param>
    public SampleMarks Marks(int index)
    {
        var row = Row(index);
        return (AtRail(Samples, row) ? SampleMarks.AccelerometerSaturated : SampleMarks.None)
            | (AtRail(Samples, row + 6) ? SampleMarks.GyroscopeSaturated : SampleMarks.None);
    }

    /// <summary>One count as it was sent.</summary>
    /// <param name="index">0 to <see cref="Count"/> - 1.</param>
    /// <param name="axis">0 to 5: ax ay az gx gy gz.</param>
    public short RawCount(int index, int axis)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual((uint)axis, (uint)PacketFormat.AxesPerSample, nameof(axis));
        return Read(Samples, Row(index) + (axis * sizeof(short)));
    }

    /// <summary>Takes over what another buffer holds.</summary>
    public void CopyFrom(PacketBuffer other)
    {
        ArgumentNullException.ThrowIfNull(other);
        Header = other.Header;
        Count = other.Count;
        HasMagnetometer = other.HasMagnetometer;
        other.Samples.AsSpan(0, Count * PacketFormat.BytesPerSample).CopyTo(Samples);
        other.MagnetometerSamples.AsSpan(0, Count * PacketFormat.MagnetometerBytesPerSample).CopyTo(MagnetometerSamples);
    }

    internal void Clear()
    {
        Header = default;
        Count = 0;
        HasMagnetometer = false;
    }

    private int Row(int index)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual((uint)index, (uint)Count, nameof(index));
        return index * PacketFormat.BytesPerSample;
    }

    private static Vector3D Triple(byte[] bytes, int at) => new(Read(bytes, at), Read(bytes, at + 2), Read(bytes, at + 4));

    private static bool AtRail(byte[] bytes, int at) => IsRail(Read(bytes, at)) || IsRail(Read(bytes, at + 2)) || IsRail(Read(bytes, at + 4));

    private static bool IsRail(short count) => count is LowerRail or UpperRail;

    private static short Read(byte[] bytes, int at) => BinaryPrimitives.ReadInt16LittleEndian(bytes.AsSpan(at));
}
