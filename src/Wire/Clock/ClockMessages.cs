using System.Formats.Cbor;

namespace Saltograph.Wire.Clock;

/// <summary>
/// Payloads of the clock topics, CBOR maps with unsigned keys:
/// request <c>{1: 1, 2: T1}</c>, answer <c>{1: 1, 2: T1, 3: T2, 4: T3}</c>; times in microseconds, 0 to 2^62.
/// Unknown keys are ignored. The sensor drops an answer whose T1 is not the one of its last request.
/// </summary>
public static class ClockMessages
{
    private const int Version = 1;
    private const int MostBytes = 256;
    private const int KeyVersion = 1;
    private const int KeyDeviceSent = 2;
    private const int KeyHallReceived = 3;
    private const int KeyHallSent = 4;
    private const ulong LatestMicroseconds = 1UL << 62;

    /// <summary>A request.</summary>
    /// <param name="deviceSentMicroseconds">T1, device clock, 0 to 2^62.</param>
    public static byte[] WriteRequest(long deviceSentMicroseconds) => Write(deviceSentMicroseconds, null, null);

    /// <summary>The answer to a request.</summary>
    /// <param name="deviceSentMicroseconds">T1 as it came.</param>
    /// <param name="hallReceivedMicroseconds">T2, hall clock.</param>
    /// <param name="hallSentMicroseconds">T3, hall clock.</param>
    public static byte[] WriteAnswer(long deviceSentMicroseconds, long hallReceivedMicroseconds, long hallSentMicroseconds) =>
        Write(deviceSentMicroseconds, hallReceivedMicroseconds, hallSentMicroseconds);

    /// <summary>Reads T1 of a request; false when it is none.</summary>
    public static bool TryReadRequest(ReadOnlyMemory<byte> payload, out long deviceSentMicroseconds)
    {
        var values = new long[KeyHallSent + 1];
        var isRequest = TryRead(payload, values) is { } seen && (seen & 0b110) == 0b110;
        deviceSentMicroseconds = isRequest ? values[KeyDeviceSent] : 0;
        return isRequest;
    }

    /// <summary>Reads an answer and completes it with the time at which it came; false when it is none.</summary>
    /// <param name="payload">The message.</param>
    /// <param name="deviceReceivedMicroseconds">T4, device clock.</param>
    /// <param name="exchange">The four times.</param>
    public static bool TryReadAnswer(ReadOnlyMemory<byte> payload, long deviceReceivedMicroseconds, out ClockExchange exchange)
    {
        var values = new long[KeyHallSent + 1];
        var isAnswer = TryRead(payload, values) is { } seen && (seen & 0b11110) == 0b11110;
        exchange = isAnswer
            ? new(values[KeyDeviceSent], values[KeyHallReceived], values[KeyHallSent], deviceReceivedMicroseconds)
            : default;
        return isAnswer;
    }

    private static byte[] Write(long deviceSent, long? hallReceived, long? hallSent)
    {
        var writer = new CborWriter(CborConformanceMode.Strict);
        writer.WriteStartMap(hallReceived is null ? 2 : 4);
        Entry(writer, KeyVersion, Version);
        Entry(writer, KeyDeviceSent, deviceSent);
        Entry(writer, KeyHallReceived, hallReceived);
        Entry(writer, KeyHallSent, hallSent);
        writer.WriteEndMap();
        return writer.Encode();
    }

    private static void Entry(CborWriter writer, int key, long? value)
    {
        if (value is { } microseconds)
        {
            ArgumentOutOfRangeException.ThrowIfNegative(microseconds, nameof(value));
            writer.WriteInt32(key);
            writer.WriteInt64(microseconds);
        }
    }

    // Returns the keys that were there as bits, or null when the message is refused.
    private static int? TryRead(ReadOnlyMemory<byte> payload, long[] values)
    {
        if (payload.Length > MostBytes)
        {
            return null;
        }

        var reader = new CborReader(payload, CborConformanceMode.Strict);
        try
        {
            var seen = 0;
            if (reader.PeekState() != CborReaderState.StartMap)
            {
                return null;
            }

            reader.ReadStartMap();
            while (reader.PeekState() != CborReaderState.EndMap)
            {
                if (reader.PeekState() != CborReaderState.UnsignedInteger)
                {
                    return null;
                }

                var key = reader.ReadUInt64();
                if (key is < KeyVersion or > KeyHallSent)
                {
                    reader.SkipValue();
                    continue;
                }

                if (reader.PeekState() != CborReaderState.UnsignedInteger || reader.ReadUInt64() is not (var value and <= LatestMicroseconds))
                {
                    return null;
                }

                values[key] = (long)value;
                seen |= 1 << (int)key;
            }

            reader.ReadEndMap();
            return reader.BytesRemaining == 0 && values[KeyVersion] == Version ? seen : null;
        }
        catch (Exception exception) when (exception is CborContentException or InvalidOperationException)
        {
            return null; // both mean: not CBOR, see PacketReader
        }
    }
}
