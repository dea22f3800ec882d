using System.Threading.Channels;
using MQTTnet;
using MQTTnet.Protocol;

namespace Saltograph.Service.Ingest;

/// <summary>
/// Acknowledges the packets of one connection in the order in which they came (MQTT 5 section 4.6), each once it is taken.
/// </summary>
/// <remarks>
/// Athletes are measured side by side, so packets are finished out of order. A connection's acknowledgements must never
/// go out on the next one, where the broker gives the same numbers to other packets: each connection has its own object.
/// </remarks>
internal sealed class InOrderAcknowledgement : IDisposable
{
    // Not bounded here: the broker sends no more than the receive maximum before it sees acknowledgements.
    private readonly Channel<(IncomingPacket Packet, MqttApplicationMessageReceivedEventArgs Message)> _open =
        Channel.CreateUnbounded<(IncomingPacket, MqttApplicationMessageReceivedEventArgs)>(new() { SingleReader = true });

    private readonly CancellationTokenSource _abandoned = new();
    private readonly ILogger _log;
    private bool _disposed;

    /// <summary>Begins to acknowledge.</summary>
    public InOrderAcknowledgement(ILogger log)
    {
        _log = log;
        _ = AcknowledgeAsync(_abandoned.Token);
    }

    /// <summary>Takes note of a packet that came.</summary>
    public void Add(IncomingPacket packet, MqttApplicationMessageReceivedEventArgs message)
    {
        if (message.ApplicationMessage.QualityOfServiceLevel != MqttQualityOfServiceLevel.AtMostOnce)
        {
            _open.Writer.TryWrite((packet, message));
        }
    }

    /// <summary>The connection is gone; the broker will send what was not acknowledged again.</summary>
    public void Dispose()
    {
        if (Interlocked.Exchange(ref _disposed, true))
        {
            return; // the end of a connection is told, and later it is replaced
        }

        _open.Writer.TryComplete();
        _abandoned.Cancel();
        _abandoned.Dispose();
    }

    private async Task AcknowledgeAsync(CancellationToken abandoned)
    {
        try
        {
            await foreach (var (packet, message) in _open.Reader.ReadAllAsync(abandoned))
            {
                var fate = await packet.Fate.WaitAsync(abandoned);
                if (fate == PacketFate.Stopping)
                {
                    return; // it stays with the broker, and so does all that came after it
                }

                if (fate == PacketFate.QueueFull)
                {
                    message.ReasonCode = MqttApplicationMessageReceivedReasonCode.QuotaExceeded;
                }

                await message.AcknowledgeAsync(abandoned);
            }
        }
        catch (OperationCanceledException) when (abandoned.IsCancellationRequested)
        {
        }
#pragma warning disable CA1031 // a connection that ends in the middle throws many types; the packet comes again with the next one
        catch (Exception problem)
#pragma warning restore CA1031
        {
            _log.AcknowledgementFailed(problem.Message);
        }
    }
}
