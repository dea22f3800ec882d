namespace Saltograph.Wire.Packets;

/// <summary>The fixed numbers of the IMU packet, format version 1 (CBOR, RFC 8949; typed arrays, RFC 8746).</summary>
public static class PacketFormat
{
    /// <summary>Format version that is written, and the only one that is read.</summary>
    public const int Version = 1;

    /// <summary>Most samples in one packet.</summary>
    public const int MostSamples = 512;

    /// <summary>Largest packet in bytes: 16 KiB.</summary>
    public const int MostBytes = 16 * 1024;

    /// <summary>Counts of one sample in the main array: ax ay az gx gy gz.</summary>
    public const int AxesPerSample = 6;

    /// <summary>Counts of one sample in the magnetometer array: mx my mz.</summary>
    public const int MagnetometerAxesPerSample = 3;

    /// <summary>Tag of a typed array of sint16, little-endian: 0b010_0_1_1_01 (RFC 8746 section 2.1).</summary>
    public const ulong Sint16LittleEndianTag = 77;

    /// <summary>Content type of the packet's MQTT message.</summary>
    public const string ContentType = "application/cbor";

    /// <summary>Latest device clock that is accepted, microseconds: 2^62, 146 000 years after power-up; more is a broken clock.</summary>
    public const long LatestDeviceMicroseconds = 1L << 62;

    /// <summary>Number of the highest key that has a meaning.</summary>
    internal const int HighestKey = PacketKey.HallMinusDevice;

    /// <summary>Largest scale, in m/s2, rad/s or uT per count: 10^6, some 10^7 times what a sensor of the widest range has. Beyond, samples and their squares would not stay finite numbers.</summary>
    internal const double LargestScale = 1e6;

    internal const int BytesPerSample = AxesPerSample * sizeof(short);

    internal const int MagnetometerBytesPerSample = MagnetometerAxesPerSample * sizeof(short);
}

/// <summary>Keys of the packet map.</summary>
internal static class PacketKey
{
    public const int Version = 1;
    public const int Boot = 2;
    public const int Sequence = 3;
    public const int FirstSample = 4;
    public const int Interval = 5;
    public const int AccelerometerScale = 6;
    public const int GyroscopeScale = 7;
    public const int Samples = 8;
    public const int MagnetometerScale = 9;
    public const int MagnetometerSamples = 10;
    public const int Temperature = 11;
    public const int Battery = 12;
    public const int HallMinusDevice = 13;

    private static readonly string[] Names =
    [
        "packet", "version", "boot id", "sequence", "device clock at the first sample", "sample interval",
        "accelerometer scale", "gyroscope scale", "samples", "magnetometer scale", "magnetometer samples",
        "temperature", "battery", "hall clock minus device clock",
    ];

    public static string Name(ulong key) => key < (ulong)Names.Length ? $"key {key} ({Names[key]})" : $"key {key}";
}
