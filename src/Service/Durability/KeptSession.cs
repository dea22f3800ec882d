using Saltograph.Service.Athletes;
using Saltograph.Service.Ingest;
using Saltograph.Store.Recordings;

namespace Saltograph.Service.Durability;

/// <summary>A session whose packets are appended to a recording.</summary>
internal sealed class KeptSession(RecordingWriter writer, DurabilityState state, TimeProvider time, Action<KeptSession> ended) : IKeptSession
{
    // The lane writes, a timer flushes.
    private readonly Lock _gate = new();
    private bool _disposed;

    /// <inheritdoc/>
    public string Id => writer.Header.Id;

    private string Name => $"recordings of {writer.Header.Athlete}";

    /// <inheritdoc/>
    public async Task KeepAsync(IReadOnlyList<IncomingPacket> packets, CancellationToken stop)
    {
        lock (_gate)
        {
            foreach (var packet in packets)
            {
                writer.Add(packet.ReceivedHall.Microseconds, packet.Sensor.Value, packet.Bytes.Span);
            }
        }

        await Persistently.DoAsync(Name, WriteAsync, state, time, stop);
    }

    /// <summary>What was kept survives a power cut afterwards.</summary>
    public void Flush()
    {
        try
        {
            lock (_gate)
            {
                if (!_disposed)
                {
                    writer.Flush();
                }
            }
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            state.Failed(Name, problem); // until the next write works; then this is tried again
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        Flush();
        lock (_gate)
        {
            _disposed = true;
            writer.Dispose();
        }

        ended(this);
    }

    private Task<bool> WriteAsync()
    {
        lock (_gate)
        {
            writer.Write();
        }

        return Task.FromResult(true);
    }
}
