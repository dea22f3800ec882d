using System.Threading.Channels;

namespace Saltograph.Service.Facts;

/// <summary>One sink behind a bounded queue of its own, so that a slow or failing sink holds up nobody else.</summary>
internal sealed class SinkPump
{
    private readonly IFactSink _sink;
    private readonly ServiceMetrics _metrics;
    private readonly ILogger _log;
    private readonly Channel<Fact> _queue;
    private readonly Task _pumping;

    /// <summary>Begins to pump.</summary>
    /// <param name="sink">The sink.</param>
    /// <param name="capacity">Facts that may wait.</param>
    /// <param name="metrics">Counts failures.</param>
    /// <param name="log">Tells them.</param>
    /// <param name="stop">Ends the pumping at once.</param>
    public SinkPump(IFactSink sink, int capacity, ServiceMetrics metrics, ILogger log, CancellationToken stop)
    {
        (_sink, _metrics, _log) = (sink, metrics, log);
        _queue = Channel.CreateBounded<Fact>(new BoundedChannelOptions(capacity) { SingleReader = true });
        _pumping = PumpAsync(stop);
    }

    /// <summary>Gives the sink a fact.</summary>
    public ValueTask OfferAsync(Fact fact, CancellationToken stop)
    {
        if (_queue.Writer.TryWrite(fact))
        {
            return ValueTask.CompletedTask;
        }

        if (_sink.MustMissNothing)
        {
            return _queue.Writer.WriteAsync(fact, stop);
        }

        _metrics.FactDropped(_sink.Name);
        _log.SinkTooSlow(_sink.Name);
        return ValueTask.CompletedTask;
    }

    /// <summary>No more facts come; ends when the sink has had all of them.</summary>
    public Task CompleteAsync()
    {
        _queue.Writer.TryComplete();
        return _pumping;
    }

    private async Task PumpAsync(CancellationToken stop)
    {
        await foreach (var fact in _queue.Reader.ReadAllAsync(stop))
        {
            try
            {
                await _sink.EmitAsync(fact, stop);
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                throw;
            }
#pragma warning disable CA1031 // one failing sink never stops the rest
            catch (Exception problem)
#pragma warning restore CA1031
            {
                _metrics.SinkFailed(_sink.Name);
                _log.SinkFailed(problem, _sink.Name);
            }
        }
    }
}
