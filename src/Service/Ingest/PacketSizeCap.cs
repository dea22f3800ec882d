using System.Buffers;
using System.IO.Pipelines;
using Microsoft.AspNetCore.Connections;

namespace Saltograph.Service.Ingest;

/// <summary>
/// Ends a connection as soon as an MQTT packet announces more than a limit: the broker library would read a packet of any
/// size into memory first. MQTT 5 section 2.1: one byte of type, then the remaining length in one to four bytes of seven bits.
/// </summary>
internal static class PacketSizeCap
{
    /// <summary>Puts the cap in front of the broker.</summary>
    /// <param name="listener">The listening endpoint.</param>
    /// <param name="largestPacketBytes">Largest remaining length let through, bytes.</param>
    /// <param name="log">Where a cut connection is told.</param>
    public static void UsePacketSizeCap(this IConnectionBuilder listener, int largestPacketBytes, ILogger log) =>
        listener.Use(next => connection =>
        {
            var transport = connection.Transport;
            connection.Transport = new CappedTransport(new CappedReader(transport.Input, largestPacketBytes, () =>
            {
                log.PacketTooLarge(connection.ConnectionId, largestPacketBytes);
                connection.Abort(new ConnectionAbortedException($"An MQTT packet is larger than {largestPacketBytes} bytes."));
            }), transport.Output);
            return next(connection);
        });

    private sealed record CappedTransport(PipeReader Input, PipeWriter Output) : IDuplexPipe;

    /// <summary>Passes the bytes through and follows the packet borders in them.</summary>
    private sealed class CappedReader(PipeReader inner, int largestPacketBytes, Action tooLarge) : PipeReader
    {
        private readonly PacketBorders _borders = new(largestPacketBytes);
        private ReadOnlySequence<byte> _shown;
        private long _followedBytes; // of what is shown, already followed

        public override bool TryRead(out ReadResult result) => inner.TryRead(out result) && Follow(result);

        public override async ValueTask<ReadResult> ReadAsync(CancellationToken cancellationToken = default)
        {
            var result = await inner.ReadAsync(cancellationToken);
            Follow(result);
            return result;
        }

        public override void AdvanceTo(SequencePosition consumed) => AdvanceTo(consumed, consumed);

        public override void AdvanceTo(SequencePosition consumed, SequencePosition examined)
        {
            _followedBytes -= _shown.Slice(0, consumed).Length;
            _shown = default;
            inner.AdvanceTo(consumed, examined);
        }

        public override void CancelPendingRead() => inner.CancelPendingRead();

        public override void Complete(Exception? exception = null) => inner.Complete(exception);

        private bool Follow(in ReadResult result)
        {
            _shown = result.Buffer;
            var added = _shown.Slice(_followedBytes);
            _followedBytes = _shown.Length;
            foreach (var segment in added)
            {
                if (!_borders.Follow(segment.Span))
                {
                    tooLarge();
                    break;
                }
            }

            return true;
        }
    }
}
