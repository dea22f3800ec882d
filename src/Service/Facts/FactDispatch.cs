using Saltograph.Service.Configuration;

namespace Saltograph.Service.Facts;

/// <summary>Where the measuring gives its facts.</summary>
internal interface IFactTaker
{
    /// <summary>Takes a fact; waits while too many wait already.</summary>
    ValueTask EmitAsync(Fact fact, CancellationToken stop);
}

/// <summary>Gives every fact to every sink.</summary>
internal sealed class FactDispatch : IFactTaker, IDisposable
{
    private readonly SinkPump[] _pumps;
    private readonly CancellationTokenSource _stop = new();

    /// <summary>Begins to pump.</summary>
    public FactDispatch(IEnumerable<IFactSink> sinks, LimitOptions limits, ServiceMetrics metrics, ILogger<FactDispatch> log) =>
        _pumps = [.. sinks.Select(sink => new SinkPump(sink, limits.WaitingEvents, metrics, log, _stop.Token))];

    /// <summary>Gives a fact to all sinks; waits only for room in the queue of a sink that must miss nothing.</summary>
    public async ValueTask EmitAsync(Fact fact, CancellationToken stop)
    {
        foreach (var pump in _pumps)
        {
            await pump.OfferAsync(fact, stop);
        }
    }

    /// <summary>No more facts come; ends when every sink has had all of them, or is cut off.</summary>
    public async Task CompleteAsync(CancellationToken cutOff)
    {
        await using var registration = cutOff.Register(_stop.Cancel);
        await Task.WhenAll(_pumps.Select(pump => pump.CompleteAsync()));
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _stop.Cancel();
        _stop.Dispose();
    }
}
