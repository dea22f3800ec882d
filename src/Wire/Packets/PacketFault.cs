namespace Saltograph.Wire.Packets;

/// <summary>Why a packet was rejected. The names are used as they are in counters and logs.</summary>
public enum PacketFault
{
    /// <summary>Accepted.</summary>
    None = 0,

    /// <summary>More than 16 KiB.</summary>
    TooLarge,

    /// <summary>Not well-formed or not valid CBOR (RFC 8949 section 5.3), or cut short.</summary>
    Malformed,

    /// <summary>Bytes after the map.</summary>
    TrailingBytes,

    /// <summary>The outermost item is not a map.</summary>
    NotAMap,

    /// <summary>A key that is not an unsigned integer.</summary>
    KeyNotUnsigned,

    /// <summary>A key occurs twice.</summary>
    DuplicateKey,

    /// <summary>A required key is absent, or only one of the two magnetometer keys is there.</summary>
    MissingKey,

    /// <summary>The value of a known key has another type than the format says.</summary>
    WrongType,

    /// <summary>A whole number outside its range.</summary>
    ValueOutOfRange,

    /// <summary>A format version other than 1.</summary>
    UnknownVersion,

    /// <summary>The sample interval is 0 or negative.</summary>
    NonPositiveInterval,

    /// <summary>A scale is not a number above 0, up to 10^6.</summary>
    BadScale,

    /// <summary>The sample array is empty, not whole samples, or holds more than 512.</summary>
    BrokenArrayLength,

    /// <summary>The magnetometer array has another number of samples than the main array.</summary>
    MagnetometerCountMismatch,
}

/// <summary>The result of reading one packet: accepted, or the fault with what was found and what is allowed.</summary>
/// <param name="Fault">The reason, <see cref="PacketFault.None"/> when accepted.</param>
/// <param name="Key">Key of the packet map that the fault is about; 0 for the packet as a whole.</param>
/// <param name="Found">The number that was found: bytes, a version, an interval in ns, a scale; NaN when it is no number.</param>
public readonly record struct PacketVerdict(PacketFault Fault, ulong Key = 0, double Found = double.NaN)
{
    /// <summary>Whether the packet was taken.</summary>
    public bool IsAccepted => Fault == PacketFault.None;

    /// <summary>One sentence for a log: where, found, allowed. Made on demand.</summary>
    public string Message => Fault switch
    {
        PacketFault.None => "accepted",
        PacketFault.TooLarge => Say($"{Found} bytes", $"up to {PacketFormat.MostBytes} bytes"),
        PacketFault.Malformed => Say("broken or incomplete CBOR", "one valid CBOR map (RFC 8949)"),
        PacketFault.TrailingBytes => Say($"{Found} bytes after the map", "nothing after the map"),
        PacketFault.NotAMap => Say("another item", "a map"),
        PacketFault.KeyNotUnsigned => Say("a key of another type", "unsigned integer keys"),
        PacketFault.DuplicateKey => Say("twice", "each key once"),
        PacketFault.MissingKey => Say("absent", "keys 1 to 8 always, keys 9 and 10 together or not at all"),
        PacketFault.WrongType => Say("another type", AllowedType),
        PacketFault.ValueOutOfRange => Say($"{Found}", AllowedRange),
        PacketFault.UnknownVersion => Say($"version {Found}", $"version {PacketFormat.Version}"),
        PacketFault.NonPositiveInterval => Say($"{Found} ns", "1 to 4294967295 ns"),
        PacketFault.BadScale => Say($"{Found}", "a number above 0, up to 1000000"),
        PacketFault.BrokenArrayLength => Say(
            double.IsNaN(Found) ? "too many bytes" : $"{Found} bytes",
            $"a multiple of {BytesEach} bytes, {BytesEach} to {BytesEach * PacketFormat.MostSamples}"),
        PacketFault.MagnetometerCountMismatch => Say($"{Found} samples", "as many as in key 8"),
        _ => Fault.ToString(),
    };

    private int BytesEach => Key == PacketKey.MagnetometerSamples ? PacketFormat.MagnetometerBytesPerSample : PacketFormat.BytesPerSample;

    private string AllowedType => Key switch
    {
        PacketKey.AccelerometerScale or PacketKey.GyroscopeScale or PacketKey.MagnetometerScale => "a float of 16, 32 or 64 bits",
        PacketKey.Samples or PacketKey.MagnetometerSamples => "tag 77 on a byte string (sint16, little-endian)",
        PacketKey.Temperature or PacketKey.HallMinusDevice => "an integer",
        _ => "an unsigned integer",
    };

    private string AllowedRange => Key switch
    {
        PacketKey.FirstSample => "0 to 2^62 us",
        PacketKey.HallMinusDevice => "-2^62 to 2^62 us",
        _ => "0 to 4294967295",
    };

    /// <inheritdoc/>
    public override string ToString() => IsAccepted ? Message : $"{Fault}: {Message}";

    private string Say(FormattableString found, string allowed) => Say(FormattableString.Invariant(found), allowed);

    private string Say(string found, string allowed) => $"{(Key == 0 ? "packet" : PacketKey.Name(Key))}: found {found}; allowed: {allowed}.";
}

/// <summary>Counts of packets by the outcome of reading them.</summary>
public sealed class PacketFaultCounts
{
    private readonly long[] _counts = new long[Enum.GetValues<PacketFault>().Length];

    /// <summary>How often a fault occurred; <see cref="PacketFault.None"/> counts accepted packets.</summary>
    public long this[PacketFault fault] => _counts[(int)fault];

    /// <summary>Rejected packets of all reasons.</summary>
    public long Rejected
    {
        get
        {
            var sum = 0L;
            for (var fault = 1; fault < _counts.Length; fault++)
            {
                sum += _counts[fault];
            }

            return sum;
        }
    }

    /// <summary>Adds one.</summary>
    public void Add(PacketFault fault) => _counts[(int)fault]++;

    /// <summary>Copies the counts into an array indexed by fault, for a checkpoint.</summary>
    public long[] Capture() => [.. _counts];

    /// <summary>Takes captured counts back.</summary>
    public void Restore(ReadOnlySpan<long> counts) => counts.CopyTo(_counts);
}
