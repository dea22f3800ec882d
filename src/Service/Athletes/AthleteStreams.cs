using System.Collections.Concurrent;
using System.Reactive.Concurrency;
using System.Reactive.Linq;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Athletes;

/// <summary>One stream of packets becomes one session per athlete: the roster tells whose packet it is, silence ends a session.</summary>
internal sealed class AthleteStreams(
    Roster roster,
    Func<AthleteId, IAthleteMeasuring> begin,
    IFactTaker taker,
    ISessionArchive archive,
    LimitOptions limits,
    ServiceMetrics metrics,
    ILogger<AthleteStreams> log,
    Privacy.ConsentGate? consent = null) : IDisposable
{
    // Ids that are told once each; more are counted only, for anybody may invent them.
    private const int UnknownTold = 256;

    private readonly ConcurrentDictionary<AthleteLane, byte> _lanes = new();
    private readonly ConcurrentDictionary<SensorId, byte> _unknown = new();
    private readonly TaskCompletionSource _ended = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly CancellationTokenSource _cut = new();
    private IDisposable? _subscription;

    /// <summary>Whether packets are still being measured: no error has ended the stream.</summary>
    public bool IsAlive => !_ended.Task.IsFaulted;

    /// <summary>Begins to measure.</summary>
    /// <param name="packets">The packets; must not overlap.</param>
    /// <param name="scheduler">Time of the silence that ends a session.</param>
    /// <param name="unfinished">Whose sessions a process before has left unfinished: they begin at once, without a packet.</param>
    public void Start(IObservable<IncomingPacket> packets, IScheduler scheduler, IReadOnlyCollection<AthleteId>? unfinished = null)
    {
        // Who is not on the roster any more gets no packets: her session is measured to its end.
        foreach (var athlete in unfinished?.Where(athlete => !roster.Athletes.Contains(athlete)) ?? [])
        {
            Begin(athlete).OnCompleted();
        }

        var now = HallClock.Of(scheduler.Now);
        Subscribe(packets.StartWith(unfinished?.Where(roster.Athletes.Contains).Select(athlete => IncomingPacket.WakeUp(roster.SensorsOf(athlete).Keys.First(), now)) ?? []), scheduler);
    }

    private void Subscribe(IObservable<IncomingPacket> packets, IScheduler scheduler) => _subscription = packets
        .Select(packet => (Packet: packet, Known: roster.TryFind(packet.Sensor, out var athlete), Athlete: athlete))
        .Do(routed => DropUnknown(routed.Packet, routed.Known))
        .Where(routed => routed.Known && IsConsented(routed.Packet, routed.Athlete))
        .GroupByUntil(
            routed => routed.Athlete,
            routed => routed.Packet,
            session => session.Throttle(TimeSpan.FromSeconds(limits.SessionGapS), scheduler))
        .Subscribe(
            session => session.Subscribe(Begin(session.Key)),
            problem =>
            {
                log.StreamFailed(problem);
                _ended.TrySetException(problem);
            },
            () => _ended.TrySetResult());

    /// <summary>Ends when the packets have ended and every session has finished its queue, or is cut off.</summary>
    public async Task CompleteAsync(CancellationToken cutOff)
    {
        await using var registration = cutOff.Register(_cut.Cancel);
        await _ended.Task.WaitAsync(cutOff);
        await Task.WhenAll(_lanes.Keys.Select(lane => lane.Completion));
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _subscription?.Dispose();
        _cut.Cancel();
        _cut.Dispose();
    }

    private AthleteLane Begin(AthleteId athlete)
    {
        var lane = new AthleteLane(athlete, () => begin(athlete), taker, archive, limits.AthletePackets, metrics, log, _cut.Token);
        _lanes.TryAdd(lane, 0);
        _ = ForgetAsync(lane);
        return lane;
    }

    private async Task ForgetAsync(AthleteLane lane)
    {
        await lane.Completion.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _lanes.TryRemove(lane, out _);
    }

    // Not taken, not recorded, not measured: counted, and answered like a sensor that nobody wears.
    private bool IsConsented(IncomingPacket packet, AthleteId athlete)
    {
        if (consent?.MayRecord(athlete) != false)
        {
            return true;
        }

        metrics.PacketRefused("no-consent");
        packet.Refuse(PacketFate.UnknownSensor);
        return false;
    }

    private void DropUnknown(IncomingPacket packet, bool known)
    {
        if (known)
        {
            return;
        }

        metrics.PacketRefused("unknown-sensor");
        if (_unknown.Count < UnknownTold && _unknown.TryAdd(packet.Sensor, 0))
        {
            log.UnknownSensor(packet.Sensor);
        }

        packet.Refuse(PacketFate.UnknownSensor);
    }
}
