using System.Text;
using System.Threading.Channels;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Durability;

/// <summary>
/// Sends the events of the store's outbox in their order. With a broker elsewhere an event leaves the outbox when that
/// broker has acknowledged it; with the embedded one, whose sessions die with the process, it stays for a time, so that
/// subscribers who come back after a restart get it again.
/// </summary>
internal sealed class OutboxSender : IAsyncDisposable
{
    private const int Page = 500;
    private const string Name = "outbox";
    private static readonly TimeSpan PruneInterval = TimeSpan.FromMinutes(1);

    private readonly HallStore _store;
    private readonly IMessageOut _broker;
    private readonly bool _confirms;
    private readonly double _keptS;
    private readonly DurabilityState _state;
    private readonly TimeProvider _time;
    private readonly Channel<bool> _wake = Channel.CreateBounded<bool>(new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite });
    private readonly Channel<long> _confirmed = Channel.CreateUnbounded<long>(new() { SingleReader = true });
    private readonly CancellationTokenSource _stop = new();
    private volatile bool _completing;
    private long _last;
    private long _prunedAt;
    private Task _sending = Task.CompletedTask;
    private Task _removing = Task.CompletedTask;

    /// <summary>Prepares; <see cref="Start"/> begins.</summary>
    public OutboxSender(HallStore store, IMessageOut broker, BrokerOptions options, DurabilityState state, TimeProvider time)
    {
        (_store, _broker, _state, _time) = (store, broker, state, time);
        (_confirms, _keptS) = (options.Kind == BrokerOptions.External, options.EmbeddedBroker.RepublishS);
    }

    /// <summary>Begins with what a process before has left.</summary>
    public void Start()
    {
        _prunedAt = _time.GetTimestamp();
        _sending = Task.Run(() => SendAsync(_stop.Token));
        _removing = Task.Run(() => RemoveAsync(_stop.Token));
    }

    /// <summary>There may be something to send.</summary>
    public void Wake() => _wake.Writer.TryWrite(true);

    /// <summary>Ends when everything in the outbox has been handed to the broker.</summary>
    public async Task CompleteAsync(CancellationToken cutOff)
    {
        _completing = true;
        Wake();
        await _sending.WaitAsync(cutOff);
    }

    /// <summary>After the broker was drained: ends when what it confirmed is out of the outbox.</summary>
    public async Task ForgetConfirmedAsync(CancellationToken cutOff)
    {
        _confirmed.Writer.TryComplete();
        await _removing.WaitAsync(cutOff);
    }

    /// <summary>All that waits or is kept, as messages.</summary>
    public async IAsyncEnumerable<OutgoingMessage> KeptAsync([System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken stop)
    {
        var last = 0L;
        while (await _store.Outbox.AfterAsync(last, Page, stop) is { Count: > 0 } rows)
        {
            foreach (var row in rows)
            {
                yield return Message(row);
            }

            last = rows[^1].Number;
        }
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _sending.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        await _removing.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }

    private static OutgoingMessage Message(OutboxRow row, Action<bool>? finished = null) =>
        new(row.Topic, Encoding.UTF8.GetBytes(row.Payload), row.ContentType, 1, row.Retain, Finished: finished);

    // Nobody is connected yet who could get events; but the newest of each retained topic is what later subscribers see.
    private async Task StartEmbeddedAsync(CancellationToken stop)
    {
        await Persistently.DoAsync(Name, () => PruneAsync(stop), _state, _time, stop);
        var retained = new Dictionary<string, OutgoingMessage>(StringComparer.Ordinal);
        while (await _store.Outbox.AfterAsync(_last, Page, stop) is { Count: > 0 } rows)
        {
            foreach (var row in rows.Where(row => row.Retain))
            {
                retained[row.Topic] = Message(row);
            }

            _last = rows[^1].Number;
        }

        foreach (var message in retained.Values)
        {
            await _broker.SendAsync(message, stop);
        }
    }

    private async Task SendAsync(CancellationToken stop)
    {
        if (!_confirms)
        {
            await StartEmbeddedAsync(stop);
        }

        while (true)
        {
            var rows = await Persistently.DoAsync(Name, () => _store.Outbox.AfterAsync(_last, Page, stop), _state, _time, stop);
            foreach (var row in rows)
            {
                var number = row.Number;
                await _broker.SendAsync(Message(row, _confirms ? isTaken => Confirm(number, isTaken) : null), stop);
                _last = number;
            }

            if (rows.Count > 0)
            {
                continue;
            }

            if (_completing)
            {
                return;
            }

            if (!_confirms && _time.GetElapsedTime(_prunedAt) > PruneInterval)
            {
                _prunedAt = _time.GetTimestamp();
                await Persistently.DoAsync(Name, () => PruneAsync(stop), _state, _time, stop);
            }

            await _wake.Reader.ReadAsync(stop);
        }
    }

    // What the broker will not take stays and is tried again after the next start: its rights may be wrong, not the event.
    private void Confirm(long number, bool isTaken)
    {
        if (isTaken)
        {
            _confirmed.Writer.TryWrite(number);
        }
    }

    private async Task RemoveAsync(CancellationToken stop)
    {
        var numbers = new List<long>();
        while (await _confirmed.Reader.WaitToReadAsync(stop))
        {
            numbers.Clear();
            while (numbers.Count < Page && _confirmed.Reader.TryRead(out var number))
            {
                numbers.Add(number);
            }

            await Persistently.DoAsync(
                Name,
                async () =>
                {
                    await _store.WriteAsync(transaction => transaction.RemoveFromOutboxAsync(numbers), stop);
                    return true;
                },
                _state,
                _time,
                stop);
        }
    }

    private async Task<bool> PruneAsync(CancellationToken stop)
    {
        var before = HallClock.Now(_time).PlusSeconds(-_keptS);
        await _store.WriteAsync(transaction => transaction.RemoveFromOutboxBeforeAsync(before.Microseconds), stop);
        return true;
    }
}
