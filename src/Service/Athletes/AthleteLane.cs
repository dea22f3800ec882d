using System.Threading.Channels;
using Saltograph.Imu;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Athletes;

/// <summary>
/// One session of one athlete: a bounded queue of packets, one reader that keeps them, measures them in order and
/// acknowledges each when it is kept and its facts are on their way.
/// </summary>
/// <remarks>An error inside the measuring costs this athlete her memory of the last seconds and nobody else anything.</remarks>
internal sealed class AthleteLane : IObserver<IncomingPacket>
{
    // Packets that are kept by one write; more would only let the first of them wait longer.
    private const int LargestBatch = 64;

    private readonly AthleteId _athlete;
    private readonly Func<IAthleteMeasuring> _begin;
    private readonly IFactTaker _taker;
    private readonly ISessionArchive _archive;
    private readonly int _capacity;
    private readonly ServiceMetrics _metrics;
    private readonly ILogger _log;
    private readonly Channel<IncomingPacket> _queue = Channel.CreateUnbounded<IncomingPacket>(new() { SingleReader = true });
    private readonly List<IncomingPacket> _batch = [];
    private readonly List<Fact> _facts = [];
    private Func<IAthleteMeasuring> _beginNow;
    private IAthleteMeasuring? _measuring;
    private IKeptSession? _kept;
    private SampleTime _lastPacket;
    private int _waiting;
    private volatile bool _ended;

    /// <summary>Begins a session.</summary>
    /// <param name="athlete">Whose.</param>
    /// <param name="begin">Makes the measuring, now and again after an error.</param>
    /// <param name="taker">Where facts go.</param>
    /// <param name="archive">Where packets are kept.</param>
    /// <param name="capacity">Packets that may be in the session unacknowledged.</param>
    /// <param name="metrics">Counts.</param>
    /// <param name="log">Tells.</param>
    /// <param name="stop">Ends it at once; a session normally ends with its packets.</param>
    public AthleteLane(
        AthleteId athlete,
        Func<IAthleteMeasuring> begin,
        IFactTaker taker,
        ISessionArchive archive,
        int capacity,
        ServiceMetrics metrics,
        ILogger log,
        CancellationToken stop)
    {
        (_athlete, _begin, _taker, _archive, _capacity, _metrics, _log) = (athlete, begin, taker, archive, capacity, metrics, log);
        _beginNow = begin;
        Completion = Task.Run(() => RunAsync(stop), CancellationToken.None);
    }

    /// <summary>Ends when everything taken has been measured and given on.</summary>
    public Task Completion { get; }

    /// <inheritdoc/>
    public void OnNext(IncomingPacket value)
    {
        if (value.IsWakeUp)
        {
            value.Take(); // that this session exists is all it wants
            return;
        }

        if (Interlocked.Increment(ref _waiting) <= _capacity && _queue.Writer.TryWrite(value))
        {
            return;
        }

        Interlocked.Decrement(ref _waiting);
        if (_ended)
        {
            value.Refuse(PacketFate.Stopping);
        }
        else
        {
            _metrics.PacketRefused("queue-full");
            _log.QueueFull(_athlete);
            value.Refuse(PacketFate.QueueFull);
        }
    }

    /// <inheritdoc/>
    public void OnCompleted() => _queue.Writer.TryComplete();

    /// <inheritdoc/>
    public void OnError(Exception error) => _queue.Writer.TryComplete();

    private async Task RunAsync(CancellationToken stop)
    {
        _log.SessionBegins(_athlete);
        try
        {
            await ResumeAsync(stop);
            while (await _queue.Reader.WaitToReadAsync(stop))
            {
                await TakeBatchAsync(stop);
            }

            await FinishAsync(stop);
        }
        finally
        {
            // Closed before it is emptied: what comes from now on is refused at once and waits in no queue that nobody reads.
            _ended = true;
            _queue.Writer.TryComplete();
            _batch.ForEach(packet => packet.Refuse(PacketFate.Stopping)); // nothing when it was taken
            while (_queue.Reader.TryRead(out var left))
            {
                left.Refuse(PacketFate.Stopping);
            }

            _kept?.Dispose();
            _log.SessionEnds(_athlete);
        }
    }

    private async Task TakeBatchAsync(CancellationToken stop)
    {
        _batch.Clear();
        while (_batch.Count < LargestBatch && _queue.Reader.TryRead(out var packet))
        {
            _batch.Add(packet);
        }

        _kept ??= await _archive.BeginAsync(_athlete, _batch[0].ReceivedHall, stop);
        await _kept.KeepAsync(_batch, stop);
        foreach (var packet in _batch)
        {
            stop.ThrowIfCancellationRequested(); // the reader looks only when it must wait
            Measure(packet);
            await EmitAsync(isAgain: false, stop);
            Interlocked.Decrement(ref _waiting); // before the sender may send the next one
            packet.Take();
            _metrics.PacketTaken();
        }
    }

    /// <summary>Measures again what a process before has kept and not finished: what is stored already is left out there.</summary>
    private async Task ResumeAsync(CancellationToken stop)
    {
        foreach (var unfinished in _archive.TakeUnfinished(_athlete))
        {
            _beginNow = () => unfinished.Begin() ?? _begin();
            var count = 0;
            foreach (var packet in unfinished.Packets())
            {
                stop.ThrowIfCancellationRequested();
                Measure(packet);
                await EmitAsync(isAgain: true, stop, unfinished.Id);
                count++;
            }

            _kept = unfinished.GoOn();
            _log.SessionMeasuredAgain(_athlete, count, _kept is not null);
            if (_kept is null)
            {
                await FinishAsync(stop, unfinished.Id);
            }
        }

        if (_kept is null)
        {
            _beginNow = _begin;
        }
    }

    private async Task FinishAsync(CancellationToken stop, string? id = null)
    {
        Try(() => _measuring?.Complete(_facts));
        _measuring = null;
        await EmitAsync(isAgain: false, stop, id);
        if ((id ?? _kept?.Id) is { } ended)
        {
            await _taker.EmitAsync(new RecordingEnded(_athlete, ended, _lastPacket), stop);
        }
    }

    private void Measure(IncomingPacket packet)
    {
        _lastPacket = packet.ReceivedHall;
        if (!Try(() => (_measuring ??= _beginNow()).Push(packet, _facts)))
        {
            _measuring = null;
        }
    }

    private async ValueTask EmitAsync(bool isAgain, CancellationToken stop, string? id = null)
    {
        foreach (var fact in _facts)
        {
            if (fact is JumpMeasured jump)
            {
                await _taker.EmitAsync(jump with { Recording = id ?? _kept?.Id }, stop);
            }
            else if (!isAgain || fact is not PassingFact)
            {
                await _taker.EmitAsync(fact, stop);
            }
        }

        _facts.Clear();
    }

    private bool Try(Action step)
    {
        try
        {
            step();
            return true;
        }
#pragma warning disable CA1031 // one failing athlete never stops the rest
        catch (Exception problem)
#pragma warning restore CA1031
        {
            _metrics.MeasuringFailed();
            _log.MeasuringFailed(problem, _athlete);
            return false;
        }
    }
}
