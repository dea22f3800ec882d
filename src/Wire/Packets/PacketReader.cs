using System.Formats.Cbor;
using System.Numerics;

namespace Saltograph.Wire.Packets;

/// <summary>
/// Reads IMU packets. Whatever the bytes are, the answer is a value: an accepted packet or a verdict with the reason.
/// One reader serves one thread; it allocates nothing for accepted packets after the first.
/// </summary>
/// <remarks>
/// Strict: everything that the format does not allow is refused, but unknown unsigned keys are skipped whatever they
/// hold, and the order of the keys is free. Of several faults in one packet the first in byte order is reported, then
/// missing keys, then lengths.
/// </remarks>
public sealed class PacketReader
{
    private const uint RequiredKeys =
        (1u << PacketKey.Version) | (1u << PacketKey.Boot) | (1u << PacketKey.Sequence) | (1u << PacketKey.FirstSample)
        | (1u << PacketKey.Interval) | (1u << PacketKey.AccelerometerScale) | (1u << PacketKey.GyroscopeScale) | (1u << PacketKey.Samples);

    private const uint MagnetometerKeys = (1u << PacketKey.MagnetometerScale) | (1u << PacketKey.MagnetometerSamples);
    private const int LowestTemperatureCentiCelsius = -27315;
    private const int HighestTemperatureCentiCelsius = 100_000;
    private const int FullBatteryPercent = 100;

    private readonly CborReader _reader = new(ReadOnlyMemory<byte>.Empty, CborConformanceMode.Strict);
    private ReadOnlyMemory<byte> _packet;
    private PacketHeader _header;
    private int _samplesLength;
    private int _magnetometerLength;

    /// <summary>Packets read by this reader, by outcome.</summary>
    public PacketFaultCounts Counts { get; } = new();

    /// <summary>Reads one packet.</summary>
    /// <param name="packet">The whole payload of the message.</param>
    /// <param name="into">Takes the packet when it is accepted; is empty afterwards when it is not.</param>
    public PacketVerdict TryRead(ReadOnlyMemory<byte> packet, PacketBuffer into)
    {
        ArgumentNullException.ThrowIfNull(into);
        into.Clear();
        var verdict = packet.Length > PacketFormat.MostBytes
            ? new(PacketFault.TooLarge, Found: packet.Length)
            : ReadGuarded(packet, into);
        if (verdict.IsAccepted)
        {
            into.Header = _header;
            into.Count = _samplesLength / PacketFormat.BytesPerSample;
            into.HasMagnetometer = _header.MagnetometerCountUT is not null;
        }

        Counts.Add(verdict.Fault);
        return verdict;
    }

    private PacketVerdict ReadGuarded(ReadOnlyMemory<byte> packet, PacketBuffer into)
    {
        try
        {
            return ReadMap(packet, into);
        }
        catch (Exception exception) when (exception is CborContentException or InvalidOperationException)
        {
            // The library reports content that is not CBOR only by exceptions; skipping the reserved initial bytes fc, fd
            // and fe ends in the second kind (System.Formats.Cbor 10.0). Every other fault is looked at before reading.
            return new(PacketFault.Malformed);
        }
        finally
        {
            _packet = default; // the caller's memory is his again
        }
    }

    private PacketVerdict ReadMap(ReadOnlyMemory<byte> packet, PacketBuffer into)
    {
        _header = default;
        _samplesLength = 0;
        _magnetometerLength = 0;
        _packet = packet;
        _reader.Reset(packet);
        if (_reader.PeekState() != CborReaderState.StartMap)
        {
            return new(packet.IsEmpty ? PacketFault.Malformed : PacketFault.NotAMap);
        }

        _reader.ReadStartMap();
        var seen = 0u;
        while (_reader.PeekState() != CborReaderState.EndMap)
        {
            if (_reader.PeekState() != CborReaderState.UnsignedInteger)
            {
                return new(PacketFault.KeyNotUnsigned);
            }

            var verdict = ReadEntry(ref seen, into);
            if (!verdict.IsAccepted)
            {
                return verdict;
            }
        }

        _reader.ReadEndMap();
        return _reader.BytesRemaining > 0
            ? new(PacketFault.TrailingBytes, Found: _reader.BytesRemaining)
            : CheckWhole(seen);
    }

    private PacketVerdict ReadEntry(ref uint seen, PacketBuffer into)
    {
        ulong key;
        try
        {
            key = _reader.ReadUInt64();
        }
        catch (CborContentException)
        {
            // Strict mode refuses the key itself when it was there before; a key that is cut short is refused as well.
            return RefusedKey();
        }

        if (key is 0 or > PacketFormat.HighestKey)
        {
            _reader.SkipValue();
            return default;
        }

        seen |= 1u << (int)key;
        return key switch
        {
            PacketKey.Version => ReadVersion(),
            PacketKey.Boot or PacketKey.Sequence or PacketKey.FirstSample or PacketKey.Battery => ReadUnsigned(key),
            PacketKey.Interval => ReadInterval(),
            PacketKey.AccelerometerScale or PacketKey.GyroscopeScale or PacketKey.MagnetometerScale => ReadScale(key),
            PacketKey.Samples => ReadArray(key, into.Samples, out _samplesLength),
            PacketKey.MagnetometerSamples => ReadArray(key, into.MagnetometerSamples, out _magnetometerLength),
            _ => ReadSigned(key),
        };
    }

    private PacketVerdict RefusedKey()
    {
        // Read again by a fresh reader without memory of earlier keys: what it can read was refused as a duplicate.
        var lone = new CborReader(_packet[^_reader.BytesRemaining..], CborConformanceMode.Lax, allowMultipleRootLevelValues: true);
        try
        {
            return new(PacketFault.DuplicateKey, lone.ReadUInt64());
        }
        catch (CborContentException)
        {
            return new(PacketFault.Malformed);
        }
    }

    private PacketVerdict ReadVersion()
    {
        if (_reader.PeekState() != CborReaderState.UnsignedInteger)
        {
            return new(PacketFault.WrongType, PacketKey.Version);
        }

        var version = _reader.ReadUInt64();
        return version == PacketFormat.Version ? default : new(PacketFault.UnknownVersion, PacketKey.Version, version);
    }

    private PacketVerdict ReadUnsigned(ulong key)
    {
        if (_reader.PeekState() != CborReaderState.UnsignedInteger)
        {
            return new(PacketFault.WrongType, key);
        }

        var value = _reader.ReadUInt64();
        if (key == PacketKey.Battery)
        {
            // A gauge that shows 101 is no reason to lose the samples: not measured.
            _header = _header with { BatteryPercent = value <= FullBatteryPercent ? (int)value : null };
            return default;
        }

        if (value > (key == PacketKey.FirstSample ? (ulong)PacketFormat.LatestDeviceMicroseconds : uint.MaxValue))
        {
            return new(PacketFault.ValueOutOfRange, key, value);
        }

        _header = key switch
        {
            PacketKey.Boot => _header with { Boot = new((uint)value) },
            PacketKey.Sequence => _header with { Sequence = (uint)value },
            _ => _header with { FirstSampleDeviceMicroseconds = (long)value },
        };
        return default;
    }

    private PacketVerdict ReadInterval()
    {
        switch (_reader.PeekState())
        {
            case CborReaderState.UnsignedInteger:
                var interval = _reader.ReadUInt64();
                _header = _header with { IntervalNanoseconds = (uint)interval };
                return interval switch
                {
                    0 => new(PacketFault.NonPositiveInterval, PacketKey.Interval, 0),
                    > uint.MaxValue => new(PacketFault.ValueOutOfRange, PacketKey.Interval, interval),
                    _ => default,
                };
            case CborReaderState.NegativeInteger:
                return new(PacketFault.NonPositiveInterval, PacketKey.Interval, -1 - (double)_reader.ReadCborNegativeIntegerRepresentation());
            default:
                return new(PacketFault.WrongType, PacketKey.Interval);
        }
    }

    private PacketVerdict ReadScale(ulong key)
    {
        if (_reader.PeekState() is not (CborReaderState.HalfPrecisionFloat or CborReaderState.SinglePrecisionFloat or CborReaderState.DoublePrecisionFloat))
        {
            return new(PacketFault.WrongType, key);
        }

        var scale = _reader.ReadDouble();
        if (!(scale is > 0 and <= PacketFormat.LargestScale))
        {
            return new(PacketFault.BadScale, key, scale);
        }

        _header = key switch
        {
            PacketKey.AccelerometerScale => _header with { AccelerometerCountMps2 = scale },
            PacketKey.GyroscopeScale => _header with { GyroscopeCountRadps = scale },
            _ => _header with { MagnetometerCountUT = scale },
        };
        return default;
    }

    private PacketVerdict ReadSigned(ulong key)
    {
        var state = _reader.PeekState();
        if (state is not (CborReaderState.UnsignedInteger or CborReaderState.NegativeInteger))
        {
            return new(PacketFault.WrongType, key);
        }

        // Both branches are the magnitude: the value itself, or one less than its amount below zero.
        var isNegative = state == CborReaderState.NegativeInteger;
        var magnitude = isNegative ? _reader.ReadCborNegativeIntegerRepresentation() : _reader.ReadUInt64();
        var isLarge = magnitude >= PacketFormat.LatestDeviceMicroseconds;
        var value = isLarge ? 0 : isNegative ? -1 - (long)magnitude : (long)magnitude;
        if (key == PacketKey.Temperature)
        {
            var isPlausible = !isLarge && value is >= LowestTemperatureCentiCelsius and <= HighestTemperatureCentiCelsius;
            _header = _header with { TemperatureCentiCelsius = isPlausible ? (int)value : null };
            return default;
        }

        _header = _header with { HallMinusDeviceMicroseconds = value };
        return isLarge ? new(PacketFault.ValueOutOfRange, key, isNegative ? -1 - (double)magnitude : magnitude) : default;
    }

    private PacketVerdict ReadArray(ulong key, byte[] into, out int length)
    {
        length = 0;
        if (_reader.PeekState() != CborReaderState.Tag || (ulong)_reader.ReadTag() != PacketFormat.Sint16LittleEndianTag
            || _reader.PeekState() is not (CborReaderState.ByteString or CborReaderState.StartIndefiniteLengthByteString))
        {
            return new(PacketFault.WrongType, key);
        }

        return _reader.TryReadByteString(into, out length) ? default : new(PacketFault.BrokenArrayLength, key);
    }

    private PacketVerdict CheckWhole(uint seen)
    {
        var missing = RequiredKeys & ~seen;
        if ((seen & MagnetometerKeys) is not (0 or MagnetometerKeys))
        {
            missing |= MagnetometerKeys & ~seen;
        }

        if (missing != 0)
        {
            return new(PacketFault.MissingKey, (ulong)BitOperations.TrailingZeroCount(missing));
        }

        if (_samplesLength == 0 || _samplesLength % PacketFormat.BytesPerSample != 0)
        {
            return new(PacketFault.BrokenArrayLength, PacketKey.Samples, _samplesLength);
        }

        if ((seen & MagnetometerKeys) == 0)
        {
            return default;
        }

        return _magnetometerLength % PacketFormat.MagnetometerBytesPerSample != 0
            ? new(PacketFault.BrokenArrayLength, PacketKey.MagnetometerSamples, _magnetometerLength)
            : _magnetometerLength / PacketFormat.MagnetometerBytesPerSample != _samplesLength / PacketFormat.BytesPerSample
                ? new(PacketFault.MagnetometerCountMismatch, PacketKey.MagnetometerSamples, _magnetometerLength / PacketFormat.MagnetometerBytesPerSample)
                : default;
    }
}
