using System.Threading.Channels;
using Saltograph.Imu;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Athletes;

/// <summary>
/// One session of one athlete: a bounded queue of packets, one reader that measures them in order and acknowledges each
/// when its facts are with the sinks.
/// </summary>
/// <remarks>An error inside the measuring costs this athlete her memory of the last seconds and nobody else anything.</remarks>
internal sealed class AthleteLane : IObserver<IncomingPacket>
{
    private readonly AthleteId _athlete;
    private readonly Func<IAthleteMeasuring> _begin;
    private readonly FactDispatch _sinks;
    private readonly ServiceMetrics _metrics;
    private readonly ILogger _log;
    private readonly Channel<IncomingPacket> _queue;
    private readonly List<Fact> _facts = [];
    private IAthleteMeasuring? _measuring;
    private volatile bool _ended;

    /// <summary>Begins a session.</summary>
    /// <param name="athlete">Whose.</param>
    /// <param name="begin">Makes the measuring, now and again after an error.</param>
    /// <param name="sinks">Where facts go.</param>
    /// <param name="capacity">Packets that may wait.</param>
    /// <param name="metrics">Counts.</param>
    /// <param name="log">Tells.</param>
    /// <param name="stop">Ends it at once; a session normally ends with its packets.</param>
    public AthleteLane(
        AthleteId athlete, Func<IAthleteMeasuring> begin, FactDispatch sinks, int capacity, ServiceMetrics metrics, ILogger log, CancellationToken stop)
    {
        (_athlete, _begin, _sinks, _metrics, _log) = (athlete, begin, sinks, metrics, log);
        _queue = Channel.CreateBounded<IncomingPacket>(new BoundedChannelOptions(capacity) { SingleReader = true });
        Completion = Task.Run(() => RunAsync(stop), CancellationToken.None);
    }

    /// <summary>Ends when everything taken has been measured and given to the sinks.</summary>
    public Task Completion { get; }

    /// <inheritdoc/>
    public void OnNext(IncomingPacket value)
    {
        if (_queue.Writer.TryWrite(value))
        {
            return;
        }

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
        IncomingPacket? current = null;
        try
        {
            await foreach (var packet in _queue.Reader.ReadAllAsync(stop))
            {
                current = packet;
                stop.ThrowIfCancellationRequested(); // the reader looks only when it must wait
                if (!Try(() => (_measuring ??= _begin()).Push(packet, _facts)))
                {
                    _measuring = null;
                }

                await EmitAsync(stop);
                packet.Take();
                _metrics.PacketTaken();
            }

            Try(() => _measuring?.Complete(_facts));
            await EmitAsync(stop);
        }
        finally
        {
            // Closed before it is emptied: what comes from now on is refused at once and waits in no queue that nobody reads.
            _ended = true;
            _queue.Writer.TryComplete();
            current?.Refuse(PacketFate.Stopping); // nothing when it was taken
            while (_queue.Reader.TryRead(out var left))
            {
                left.Refuse(PacketFate.Stopping);
            }

            _log.SessionEnds(_athlete);
        }
    }

    private async ValueTask EmitAsync(CancellationToken stop)
    {
        foreach (var fact in _facts)
        {
            await _sinks.EmitAsync(fact, stop);
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
