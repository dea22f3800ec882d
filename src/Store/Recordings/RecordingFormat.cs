using System.Formats.Cbor;

namespace Saltograph.Store.Recordings;

/// <summary>
/// A file is a CBOR sequence (RFC 8742): data items one after another, the first a map (the header), each further one an
/// array of arrival (us), sensor and packet. A file that is cut anywhere is whole up to its last whole item.
/// </summary>
/// <remarks>
/// The packet's bytes pass here and nowhere else. Key 10 of the header says that they are sealed with a key of the athlete.
/// </remarks>
internal static class RecordingFormat
{
    public const string Extension = ".cborseq";

    private const int Version = 1;
    private const int PacketItemLength = 3;

    public static byte[] WriteHeader(RecordingHeader header, int part)
    {
        var writer = new CborWriter();
        writer.WriteStartMap(header.IsSealed ? 10 : 9);
        writer.WriteInt32(1);
        writer.WriteInt32(Version);
        writer.WriteInt32(2);
        writer.WriteTextString(header.Athlete);
        writer.WriteInt32(3);
        writer.WriteInt64(header.OpenedUs);
        writer.WriteInt32(4);
        writer.WriteInt32(part);
        writer.WriteInt32(5);
        writer.WriteTextString(header.Hall);
        writer.WriteInt32(6);
        writer.WriteStartMap(header.Sensors.Count);
        foreach (var (sensor, site) in header.Sensors.OrderBy(pair => pair.Key, StringComparer.Ordinal))
        {
            writer.WriteTextString(sensor);
            writer.WriteTextString(site);
        }

        writer.WriteEndMap();
        writer.WriteInt32(7);
        writer.WriteTextString(header.Settings);
        writer.WriteInt32(8);
        writer.WriteTextString(header.Program);
        writer.WriteInt32(9);
        writer.WriteTextString("us"); // unit of all times
        if (header.IsSealed)
        {
            writer.WriteInt32(10);
            writer.WriteBoolean(true);
        }

        writer.WriteEndMap();
        return writer.Encode();
    }

    public static void WritePacket(CborWriter writer, long receivedUs, string sensor, ReadOnlySpan<byte> packet)
    {
        writer.WriteStartArray(PacketItemLength);
        writer.WriteInt64(receivedUs);
        writer.WriteTextString(sensor);
        writer.WriteByteString(packet);
        writer.WriteEndArray();
    }

    /// <summary>Reads the header; null when the bytes do not begin with a whole one.</summary>
    public static RecordingHeader? TryReadHeader(ReadOnlyMemory<byte> bytes, out int length)
    {
        length = 0;
        var reader = new CborReader(bytes, CborConformanceMode.Lax, allowMultipleRootLevelValues: true);
        try
        {
            var texts = new Dictionary<int, string>();
            var numbers = new Dictionary<int, long>();
            var sensors = new Dictionary<string, string>(StringComparer.Ordinal);
            var isSealed = false;
            reader.ReadStartMap();
            while (reader.PeekState() != CborReaderState.EndMap)
            {
                var key = reader.ReadInt32();
                switch (reader.PeekState())
                {
                    case CborReaderState.TextString:
                        texts[key] = reader.ReadTextString();
                        break;
                    case CborReaderState.UnsignedInteger or CborReaderState.NegativeInteger:
                        numbers[key] = reader.ReadInt64();
                        break;
                    case CborReaderState.Boolean when key == 10:
                        isSealed = reader.ReadBoolean();
                        break;
                    case CborReaderState.StartMap when key == 6:
                        ReadSensors(reader, sensors);
                        break;
                    default:
                        reader.SkipValue(); // of a later version
                        break;
                }
            }

            reader.ReadEndMap();
            length = bytes.Length - reader.BytesRemaining;
            return numbers.GetValueOrDefault(1) != Version ? null : new()
            {
                Athlete = texts[2],
                OpenedUs = numbers[3],
                Hall = texts[5],
                Sensors = sensors,
                Settings = texts[7],
                Program = texts[8],
                IsSealed = isSealed,
            };
        }
        catch (Exception problem) when (problem is CborContentException or InvalidOperationException or KeyNotFoundException or OverflowException)
        {
            return null;
        }
    }

    /// <summary>Reads the packet at the beginning of the bytes; 0 bytes when there is no whole one.</summary>
    public static int TryReadPacket(ReadOnlyMemory<byte> bytes, out RecordedPacket packet)
    {
        packet = default;
        var reader = new CborReader(bytes, CborConformanceMode.Lax, allowMultipleRootLevelValues: true);
        try
        {
            if (reader.ReadStartArray() != PacketItemLength)
            {
                return 0;
            }

            var receivedUs = reader.ReadInt64();
            var sensor = reader.ReadTextString();
            var content = reader.ReadDefiniteLengthByteString();
            reader.ReadEndArray();
            packet = new(receivedUs, sensor, content);
            return bytes.Length - reader.BytesRemaining;
        }
        catch (Exception problem) when (problem is CborContentException or InvalidOperationException or OverflowException)
        {
            return 0;
        }
    }

    private static void ReadSensors(CborReader reader, Dictionary<string, string> sensors)
    {
        reader.ReadStartMap();
        while (reader.PeekState() != CborReaderState.EndMap)
        {
            sensors[reader.ReadTextString()] = reader.ReadTextString();
        }

        reader.ReadEndMap();
    }
}
