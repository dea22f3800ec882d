using System.Threading.Channels;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Store;

namespace Saltograph.Service.Durability;

/// <summary>
/// Between the measuring and everybody who wants to know: a fact with an id is stored first, with the events that tell it
/// in the same transaction, and only then given on. What waits is written together.
/// </summary>
internal sealed class FactJournal : IFactTaker, IAsyncDisposable
{
    private const int LargestTransaction = 256;
    private const string Name = "store";

    private readonly HallStore _store;
    private readonly FactWriter _writer;
    private readonly FactDispatch _sinks;
    private readonly DayLedger _ledger;
    private readonly OutboxSender? _outbox;
    private readonly DurabilityState _state;
    private readonly TimeProvider _time;
    private readonly Channel<Fact> _queue;
    private readonly CancellationTokenSource _stop = new();
    private readonly Task _writing;
    private bool _disposed;

    /// <summary>Begins to write.</summary>
    public FactJournal(
        HallStore store, FactWriter writer, FactDispatch sinks, DayLedger ledger, OutboxSender? outbox, DurabilityState state, LimitOptions limits, TimeProvider time)
    {
        (_store, _writer, _sinks, _ledger, _outbox, _state, _time) = (store, writer, sinks, ledger, outbox, state, time);
        _queue = Channel.CreateBounded<Fact>(new BoundedChannelOptions(limits.WaitingEvents) { SingleReader = true });
        _writing = Task.Run(() => RunAsync(_stop.Token));
    }

    /// <inheritdoc/>
    public ValueTask EmitAsync(Fact fact, CancellationToken stop) => fact switch
    {
        PassingFact => _sinks.EmitAsync(fact, stop),
        _ => _queue.Writer.TryWrite(fact) ? ValueTask.CompletedTask : _queue.Writer.WriteAsync(fact, stop),
    };

    /// <summary>No more facts come; ends when all are stored and given on, or is cut off.</summary>
    public async Task CompleteAsync(CancellationToken cutOff)
    {
        await using var registration = cutOff.Register(_stop.Cancel);
        _queue.Writer.TryComplete();
        await _writing;
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, true))
        {
            return; // it is registered under two names
        }

        _queue.Writer.TryComplete();
        await _stop.CancelAsync();
        await _writing.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }

    private async Task RunAsync(CancellationToken stop)
    {
        var facts = new List<Fact>();
        while (await _queue.Reader.WaitToReadAsync(stop))
        {
            facts.Clear();
            while (facts.Count < LargestTransaction && _queue.Reader.TryRead(out var fact))
            {
                facts.Add(fact);
            }

            var attempts = 0;
            var told = await Persistently.DoAsync(Name, () => WriteAsync(facts, isAgain: attempts++ > 0, stop), _state, _time, stop);
            _outbox?.Wake();
            foreach (var fact in told)
            {
                if (fact is LoadChanged load)
                {
                    _ledger.Set(load.Athlete, load.Totals);
                }

                await _sinks.EmitAsync(fact, stop);
            }
        }
    }

    private Task<List<Fact>> WriteAsync(List<Fact> facts, bool isAgain, CancellationToken stop) => _store.WriteAsync(
        async transaction =>
        {
            var told = new List<Fact>();
            foreach (var fact in facts)
            {
                await _writer.WriteAsync(transaction, fact, told, isAgain);
            }

            return told;
        },
        stop);
}
