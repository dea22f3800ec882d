using System.Formats.Cbor;
using Saltograph.Store.Recordings;

namespace Saltograph.Fuzz.Targets;

/// <summary>Bytes of a raw recording. Reading comes to an end, and what is whole is the same when it is written and read again.</summary>
internal static class RecordingTarget
{
    public static void Try(ReadOnlyMemory<byte> input)
    {
        if (RecordingFormat.TryReadHeader(input, out var at) is not { } header)
        {
            return;
        }

        Catalogue.Must(at > 0 && at <= input.Length, "a header within the bytes");
        var again = RecordingFormat.TryReadHeader(RecordingFormat.WriteHeader(header, 1), out _);
        Catalogue.Must(again is not null && again.Id == header.Id && again.IsSealed == header.IsSealed && again.IsMeasuredLike(header), "a header read again as it was written");
        while (at < input.Length)
        {
            var length = RecordingFormat.TryReadPacket(input[at..], out var packet);
            Catalogue.Must(length >= 0 && length <= input.Length - at, "a packet within the bytes");
            if (length == 0)
            {
                break;
            }

            var writer = new CborWriter();
            RecordingFormat.WritePacket(writer, packet.ReceivedUs, packet.Sensor, packet.Bytes.Span);
            RecordingFormat.TryReadPacket(writer.Encode(), out var second);
            Catalogue.Must(
                second.ReceivedUs == packet.ReceivedUs && second.Sensor == packet.Sensor && second.Bytes.Span.SequenceEqual(packet.Bytes.Span), "a packet read again as it was written");
            at += length;
        }
    }
}
