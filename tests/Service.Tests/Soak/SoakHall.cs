using System.Buffers;
using System.Diagnostics;
using System.Globalization;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Hosting;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Durability;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Store.Recordings;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Tests.Soak;

/// <summary>A hall whose clock follows the simulation, a Mosquitto that keeps its sessions, a subscriber, and what goes wrong.</summary>
internal sealed partial class SoakHall : IAsyncDisposable
{
    /// <summary>A chance per packet that makes a sensor restart once in an hour: it sends two packets a second.</summary>
    public const double OncePerHour = 1 / 7200.0;

    private const double StepS = 0.25;
    private const double SampleRateHz = 104;
    private const int SamplesPerPacket = 52;
    private const int PublishedAtOnce = 32;
    private const int MostJumpsPerMinute = 30; // room that is taken at the beginning, so that digests do not look like growth

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    private readonly TemporaryFolder _folder = new();
    private readonly ArrivalClock _clock = new();
    private readonly FullDisk _disk = new();
    private readonly HallSimulation _simulation;
    private readonly ExpectedEvents _expected;
    private readonly Dictionary<UInt128, UInt128> _received;
    private readonly List<SimulatedPacket> _arrived = [];
    private readonly Queue<Task> _publishing = new();
    private readonly List<(string Topic, byte[] Bytes)> _old = [];
    private readonly Random _random = new(5);
    private readonly double _durationS;
    private readonly Stopwatch _watch = Stopwatch.StartNew();
    private Mosquitto? _broker;
    private HallHost? _host;
    private Subscriber? _coach;
    private Subscriber? _gateway;
    private long _published;

    private SoakHall(int minutes, int athletes, double rebootProbability)
    {
        _durationS = minutes * 60.0;
        var training = new SimulationOptions { Seed = 23, AthleteCount = athletes, DurationS = _durationS, Sensors = new() { SampleRateHz = SampleRateHz } };
        _simulation = new(training, new() { SamplesPerPacket = SamplesPerPacket, LossProbability = 0, BurstProbability = 0, RebootProbability = rebootProbability }, ArrivalClock.Start.Microseconds);
        Roster = new() { Sensors = [.. _simulation.Sensors.Select(worn => new RosterEntry { Sensor = worn.Sensor.Value, Athlete = worn.Athlete.Value, Site = Imu.Sites.Name(worn.Site) })] };
        var most = minutes * athletes * MostJumpsPerMinute;
        (_expected, _received) = (new(Roster, most), new(most));
    }

    public RosterOptions Roster { get; }

    public Vitals Vitals { get; } = new();

    public IReadOnlyDictionary<UInt128, UInt128> Expected => _expected.Jumps;

    public IReadOnlyDictionary<UInt128, UInt128> Received => _received;

    /// <summary>Jumps of the truth whose landing is far enough before the end to be told.</summary>
    public int TrueJumps { get; private set; }

    /// <summary>All jumps of the truth, those of the last moments too, which may be told or not.</summary>
    public int TrueJumpsToTheEnd { get; private set; }

    public static async Task<SoakHall> StartAsync(int minutes, int athletes, double rebootProbability = OncePerHour, bool withEarlierWeeks = false)
    {
        var soak = new SoakHall(minutes, athletes, rebootProbability);
        if (withEarlierWeeks)
        {
            var file = Path.GetFullPath(TestHall.Options().Store.File, soak._folder.Root);
            await EarlierWeeks.StoreAsync(file, soak.Roster.Sensors.Select(entry => entry.Athlete).Distinct(StringComparer.Ordinal), ArrivalClock.Start.Microseconds);
        }

        var kept = soak._folder.File("broker");
        Directory.CreateDirectory(kept);
        soak._broker = await Mosquitto.StartAsync(
            $"allow_anonymous true\nset_tcp_nodelay true\npersistence true\npersistence_location {kept}/\nmax_queued_messages 0\n");
        soak._host = await TestHall.StartAsync(TestHall.Options(soak._broker.Port), scripted: false, roster: soak.Roster, data: soak._folder.Root, adjust: services =>
        {
            services.AddSingleton<TimeProvider>(soak._clock);
            services.AddSingleton<IRecordingDisk>(soak._disk);
            soak._expected.Watch(services);
        });
        await MosquittoHallTests.ReadyAsync(soak._host);
        soak._coach = await Subscriber.ConnectAsync(soak._broker.Port, "coach", keepSession: true, TestHall.Jumps("+"));
        soak._gateway = await Subscriber.ConnectAsync(soak._broker.Port, "gateway");
        return soak;
    }

    public async Task PlayMinuteAsync(int minute, int? fault = null)
    {
        for (var step = 1; step <= 60 / StepS; step++)
        {
            var untilS = Math.Min((minute * 60) + (step * StepS), _durationS);
            _simulation.Advance(untilS, _arrived);
            await PublishAsync();
            Forget();
            await CaughtUpAsync();
            if (step == 120)
            {
                await FailAsync(fault ?? minute % 6);
            }
            else if (step == 160)
            {
                await (_coach!.IsConnected ? Task.CompletedTask : _coach.ReconnectAsync());
            }
        }

        await AcknowledgedAsync();
        await CollectAsync();
        Vitals.Note();
    }

    public async Task FinishAsync()
    {
        _simulation.Complete(_arrived);
        await PublishAsync();
        Forget();
        await AcknowledgedAsync();
        await CaughtUpAsync(all: true);
        var stop = TestContext.Current.CancellationToken;
        await _host!.Services.GetRequiredService<IPacketSource>().StopIntakeAsync();
        await _host.Services.GetRequiredService<AthleteStreams>().CompleteAsync(stop);
        await _host.Services.GetRequiredService<FactJournal>().CompleteAsync(stop);
        await _host.Services.GetRequiredService<OutboxSender>().CompleteAsync(stop);
        await _host.Services.GetRequiredService<IMessageOut>().SendAsync(new(TestHall.Jumps("sentinel"), [1], "text/plain", 1, Retain: false), stop);
        while (Take(await _coach!.NextAsync()))
        {
        }

        _watch.Stop();
    }

    public override string ToString() => string.Create(
        CultureInfo.InvariantCulture,
        $"{_durationS / 60:0} minutes of {Roster.Sensors.Count / 3} athletes in {_watch.Elapsed.TotalSeconds:0} s: {_published} packets published, {_expected.Packets} measured, {TrueJumps} jumps in truth ({TrueJumpsToTheEnd} to the very end), {Expected.Count} expected, {Received.Count} published; {Vitals}");

    public async ValueTask DisposeAsync()
    {
        await (_coach?.DisposeAsync() ?? default);
        await (_gateway?.DisposeAsync() ?? default);
        await (_host?.DisposeAsync() ?? default);
        await (_broker?.DisposeAsync() ?? default);
        _disk.Dispose();
        _folder.Dispose();
    }

    private async Task PublishAsync()
    {
        foreach (var packet in _arrived)
        {
            _clock.SetSimulated(packet.ReceivedS);
            var (topic, bytes) = (TestHall.Samples(packet.Sensor.Sensor.Value), packet.Bytes.ToArray());
            if (_old.Count < 500)
            {
                _old.Add((topic, bytes));
            }

            await PublishAsync(topic, bytes);
            _published++;
        }

        _arrived.Clear();
    }

    private async Task PublishAsync(string topic, byte[] bytes)
    {
        while (_publishing.Count > 0 && (_publishing.Count >= PublishedAtOnce || _publishing.Peek().IsCompleted))
        {
            await _publishing.Dequeue();
        }

        _publishing.Enqueue(_gateway!.PublishAsync(topic, bytes));
    }

    private async Task AcknowledgedAsync()
    {
        while (_publishing.TryDequeue(out var sending))
        {
            await sending;
        }
    }

    // The truth of a long training must not pile up.
    private void Forget()
    {
        foreach (var athlete in _simulation.Athletes)
        {
            TrueJumps += athlete.Jumps.Count(jump => jump.LandingS < _durationS - 2);
            TrueJumpsToTheEnd += athlete.Jumps.Count;
            athlete.Jumps.Clear();
            athlete.Distractors.Clear();
        }
    }

    // What is measured later than a packet may be late would be another training.
    private async Task CaughtUpAsync(bool all = false)
    {
        var since = Stopwatch.GetTimestamp();
        while (_expected.Packets < _published - (all ? 0 : Roster.Sensors.Count / 4))
        {
            Assert.True(Stopwatch.GetElapsedTime(since) < Patience, $"{_expected.Packets} of {_published} packets measured; health {string.Join(", ", _host!.Services.GetServices<DurabilityState>())}");
            await Task.Delay(1, TestContext.Current.CancellationToken);
        }
    }

    private async Task CollectAsync()
    {
        while (_coach!.HasMore)
        {
            Assert.True(Take(await _coach.NextAsync()));
        }
    }

    private bool Take(MQTTnet.MqttApplicationMessage message)
    {
        if (message.Topic == TestHall.Jumps("sentinel"))
        {
            return false;
        }

        Assert.True(CloudEventReader.TryRead(message.Payload.ToArray(), out var jump).IsAccepted);
        var (id, contents) = (Digest.Of(jump!.Attributes.Id), Digest.Of(jump.Data!.Value.GetRawText()));
        Assert.True(_received.TryAdd(id, contents) || _received[id] == contents, "the same id with other contents");
        return true;
    }
}
