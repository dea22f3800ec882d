using System.Diagnostics.Metrics;
using System.Reactive.Concurrency;
using System.Reactive.Subjects;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Saltograph.Imu;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Faults;
using Saltograph.Service.Tests.Hosting;

namespace Saltograph.Service.Tests.Athletes;

public sealed class AthleteStreamsTests : IAsyncDisposable
{
    private readonly ServiceProvider _services = new ServiceCollection().AddMetrics().BuildServiceProvider();
    private readonly HistoricalScheduler _time = new();
    private readonly Subject<IncomingPacket> _packets = new();
    private readonly List<string> _begun = [];
    private readonly CollectingSink _sink = new();
    private readonly SemaphoreSlim _gate = new(0);

    [Fact]
    public async Task Silence_ends_a_session_and_the_next_packet_begins_a_new_one()
    {
        var (streams, dispatch) = Start(new() { SessionGapS = 60 });
        await PushAsync("a-trunk", ScriptedMeasuring.Jump(1));
        _time.AdvanceBy(TimeSpan.FromSeconds(59));
        await PushAsync("a-left", ScriptedMeasuring.Jump(2)); // another sensor of the same athlete keeps it alive
        _time.AdvanceBy(TimeSpan.FromSeconds(59));
        await PushAsync("a-trunk", ScriptedMeasuring.Jump(3));
        Assert.Equal("amber", string.Join(' ', _begun));
        _time.AdvanceBy(TimeSpan.FromSeconds(61));
        await PushAsync("a-trunk", ScriptedMeasuring.Jump(4));
        Assert.Equal("amber amber", string.Join(' ', _begun));
        await FinishAsync(streams, dispatch);
        Assert.Equal(2, _sink.Facts.OfType<JumpMeasured>().Count(jump => jump.Jump.Number == 999)); // both sessions were completed
    }

    [Fact]
    public async Task Athletes_have_sessions_of_their_own()
    {
        var (streams, dispatch) = Start(new());
        await PushAsync("a-trunk", ScriptedMeasuring.Jump(1));
        await PushAsync("b-trunk", ScriptedMeasuring.Jump(1));
        await PushAsync("a-left", ScriptedMeasuring.Jump(2));
        await FinishAsync(streams, dispatch);
        Assert.Equal("amber beryl", string.Join(' ', _begun));
    }

    [Fact]
    [Fault("more packets than an athlete's queue holds", "those without room are refused, which their senders see; the others are measured", back: "when the queue has room")]
    public async Task A_packet_without_room_is_refused_and_the_others_are_measured()
    {
        var (streams, dispatch) = Start(new() { AthletePackets = 2 }, slow: true);
        IncomingPacket[] packets = [.. Enumerable.Range(1, 10).Select(number => Packet("a-trunk", ScriptedMeasuring.Jump(number)))];
        foreach (var packet in packets)
        {
            _packets.OnNext(packet);
        }

        _gate.Release(1000);
        await FinishAsync(streams, dispatch);
        var fates = await Task.WhenAll(packets.Select(packet => packet.Fate));
        Assert.InRange(fates.Count(fate => fate == PacketFate.Taken), 2, 3); // the queue, and perhaps the one already in work
        Assert.Equal(10 - fates.Count(fate => fate == PacketFate.Taken), fates.Count(fate => fate == PacketFate.QueueFull));
    }

    [Fact]
    public async Task When_time_is_over_what_waits_is_left_to_its_sender()
    {
        var (streams, dispatch) = Start(new(), slow: true);
        IncomingPacket[] packets = [.. Enumerable.Range(1, 5).Select(number => Packet("a-trunk", ScriptedMeasuring.Jump(number)))];
        foreach (var packet in packets)
        {
            _packets.OnNext(packet);
        }

        _packets.OnCompleted();
        var completing = streams.CompleteAsync(new CancellationToken(canceled: true));
        _gate.Release(1000);
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => completing);
        var fates = await Task.WhenAll(packets.Select(packet => packet.Fate));
        Assert.Contains(PacketFate.Stopping, fates);
        streams.Dispose();
        dispatch.Dispose();
    }

    public async ValueTask DisposeAsync()
    {
        await _services.DisposeAsync();
        _packets.Dispose();
        _gate.Dispose();
    }

    private static IncomingPacket Packet(string sensor, byte[] bytes) => new(new(sensor), bytes, default);

    private (AthleteStreams Streams, FactDispatch Dispatch) Start(LimitOptions limits, bool slow = false)
    {
        var metrics = new ServiceMetrics(_services.GetRequiredService<IMeterFactory>());
        var dispatch = new FactDispatch([_sink], limits, metrics, NullLogger<FactDispatch>.Instance);
        var streams = new AthleteStreams(
            new(TestHall.Roster),
            athlete =>
            {
                _begun.Add(athlete.Value);
                return slow ? new Waiting(new ScriptedMeasuring(athlete), _gate) : new ScriptedMeasuring(athlete);
            },
            dispatch,
            new NoArchive(),
            limits,
            metrics,
            NullLogger<AthleteStreams>.Instance);
        streams.Start(_packets, _time);
        return (streams, dispatch);
    }

    private async Task PushAsync(string sensor, byte[] bytes)
    {
        var packet = Packet(sensor, bytes);
        _packets.OnNext(packet);
        Assert.Equal(PacketFate.Taken, await packet.Fate.WaitAsync(TestContext.Current.CancellationToken));
    }

    private async Task FinishAsync(AthleteStreams streams, FactDispatch dispatch)
    {
        _packets.OnCompleted();
        await streams.CompleteAsync(TestContext.Current.CancellationToken);
        await dispatch.CompleteAsync(TestContext.Current.CancellationToken);
        streams.Dispose();
        dispatch.Dispose();
    }

    private sealed class CollectingSink : IFactSink
    {
        public List<Fact> Facts { get; } = [];

        public string Name => "collecting";

        public bool MustMissNothing => true;

        public ValueTask EmitAsync(Fact fact, CancellationToken stop)
        {
            Facts.Add(fact);
            return ValueTask.CompletedTask;
        }
    }

    /// <summary>Measures a packet only when the gate lets it.</summary>
    private sealed class Waiting(IAthleteMeasuring inner, SemaphoreSlim gate) : IAthleteMeasuring
    {
        public void Push(IncomingPacket packet, List<Fact> facts)
        {
            gate.Wait(CancellationToken.None);
            inner.Push(packet, facts);
        }

        public void Complete(List<Fact> facts) => inner.Complete(facts);
    }
}
