using MQTTnet;
using MQTTnet.Protocol;
using Saltograph.Imu;
using Saltograph.Pipeline;
using Saltograph.Service.Durability;
using Saltograph.Service.Ingest;
using Saltograph.Service.Simulated;
using Saltograph.Service.Tests.Faults;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Store;
using Saltograph.Store.Queries;
using Saltograph.Store.Recordings;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Tests.Durability;

/// <summary>
/// The real process is killed at random moments of a simulated training and started again each time. Afterwards every jump
/// of the packets is once in the store and at least once with a subscriber, and no packet is missing in the recordings.
/// </summary>
public sealed class KillTests : IDisposable
{
    private static readonly bool IsLong = Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1";
    private static readonly int Kills = IsLong ? 50 : 4;
    private static readonly SimulationOptions Training = new() { Seed = 21, AthleteCount = 2, DurationS = IsLong ? 240 : 60 };

    private readonly TemporaryFolder _folder = new();

    // Every landing beyond 3 g at an ankle is hard, and a warning ends with the next that is not or after 10 s: some warnings in a minute.
    private const string Rules = """
        {
          "landings": { "ankleCapG": 3 },
          "rules": [ { "type": "landing-count", "id": "hard-landings", "clearAfterS": 10, "criteria": [ { "atLeast": "hard", "count": 2, "withinS": 60 } ] } ]
        }
        """;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    [Fault("the process is killed, with its own broker", "sessions are measured again from their recordings; sensors send again", back: "with the next start, 4 s later for a session of two hours")]
    public async Task With_the_embedded_broker_nothing_is_lost_or_doubled()
    {
        var port = FreeTcpPort.Find();
        await RunAsync(port, $"\"kind\": \"embedded\", \"embeddedBroker\": {{ \"port\": {port}, \"anonymous\": true }}", isExternal: false, seed: 1);
    }

    [Fact]
    [Fault("the process is killed, with a broker elsewhere", "sessions are measured again from their recordings; the broker sends again", back: "with the next start, 4 s later for a session of two hours")]
    public async Task With_mosquitto_nothing_is_lost_or_doubled()
    {
        await using var broker = await Mosquitto.StartAsync();
        await RunAsync(broker.Port, $"\"kind\": \"external\", \"externalBroker\": {{ \"host\": \"127.0.0.1\", \"port\": {broker.Port}, \"reconnectFirstS\": 0.05 }}", isExternal: true, seed: 2);
    }

    public void Dispose() => _folder.Dispose();

    private static async Task SendAllAsync(int port, List<TimedPacket> packets)
    {
        var options = new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithClientId("gateway").Build();
        using var client = new MqttClientFactory().CreateMqttClient();
        foreach (var packet in packets)
        {
            var isTaken = false;
            while (!isTaken)
            {
                try
                {
                    if (!client.IsConnected)
                    {
                        await client.ConnectAsync(options, Stop);
                    }

                    var result = await client.PublishAsync(
                        new MqttApplicationMessage
                        {
                            Topic = TestHall.Samples(packet.Sensor.Value),
                            PayloadSegment = new(packet.Bytes.ToArray()),
                            QualityOfServiceLevel = MqttQualityOfServiceLevel.AtLeastOnce,
                        },
                        Stop);
                    isTaken = result.IsSuccess;
                }
                catch (Exception) when (!Stop.IsCancellationRequested)
                {
                    await Task.Delay(20, Stop); // nobody listens at the moment
                }
            }
        }
    }

    private static async Task<List<JumpRow>> JumpsAsync(HallStore store) => [.. (await store.Jumps.PageAsync(new JumpFilter { Limit = 10_000 }, Stop)).Jumps];

    // The packets came at other times than to the undisturbed pipeline, after waits of seconds: with 50 kills, 1 jump of some 60
    // got the neighbouring sample as its anchor. What is exact is the comparison with the recordings, which have the arrivals.
    private static void AssertSameJumps(List<string> expected, List<string> found)
    {
        const long TwoSamplesUs = 4808; // at 416 Hz
        Assert.Equal(expected.Select(Sensor), found.Select(Sensor), StringComparer.Ordinal);
        Assert.All(expected.Zip(found), pair => Assert.InRange(DeviceUs(pair.Second) - DeviceUs(pair.First), -TwoSamplesUs, TwoSamplesUs));

        static string Sensor(string id) => string.Join('.', id.Split('.')[..3]);
        static long DeviceUs(string id) => long.Parse(id.Split('.')[3], System.Globalization.CultureInfo.InvariantCulture);
    }

    // As one pipeline sees the packets that was never disturbed.
    private static IEnumerable<string> Undisturbed(SimulatedHall hall, List<TimedPacket> packets, SampleTime start)
    {
        foreach (var worn in hall.Roster.Sensors.GroupBy(entry => entry.Athlete, StringComparer.Ordinal))
        {
            var sensors = worn.ToDictionary(entry => new SensorId(entry.Sensor), entry => Sites.TryParse(entry.Site, out var site) ? site : throw new FormatException());
            var pipeline = new AthletePipeline(new(worn.Key), sensors, new() { MostStatedAheadS = 86_400, MostStatedBehindS = 86_400 });
            var output = new PipelineOutput();
            foreach (var packet in packets.Where(packet => sensors.ContainsKey(packet.Sensor)))
            {
                pipeline.Push(packet.Sensor, packet.Bytes, start.PlusSeconds(packet.TimeS), output);
            }

            pipeline.Complete(output);
            foreach (var jump in output.Jumps)
            {
                yield return jump.Id;
            }
        }
    }

    private async Task RunAsync(int port, string broker, bool isExternal, int seed)
    {
        var hall = new SimulatedHall(Training, NetworkOptions.Faultless, new(TestHall.Hall));
        // The training is over when its packets come: what lands after the clock's time would wait for it, and nothing would be judged.
        var start = HallClock.Now(TimeProvider.System).PlusSeconds(-Training.DurationS);
        var packets = hall.Packets(start).ToList();
        _folder.Write("service.json", $"{{ \"hall\": \"{TestHall.Hall}\", \"broker\": {{ {broker} }}, \"http\": {{ \"port\": 0 }} }}");
        _folder.Write("roster.json", hall.RosterJson());
        _folder.Write("warnings.json", Rules);
        _folder.Write("thresholds.json", "{ \"pipeline\": { \"mostStatedAheadS\": 86400, \"mostStatedBehindS\": 86400 } }"); // packets come later and faster than they were made

        var recordings = _folder.File("data/recordings");
        await using var coach = PersistentSubscriber.Start(port);
        Task? sending = null;
        var random = new Random(seed);
        var wholeBytes = packets.Sum(packet => packet.Bytes.Length);
        var moments = Enumerable.Range(0, Kills).Select(_ => random.NextDouble() * 0.95 * wholeBytes).Order().ToList();
        foreach (var moment in moments)
        {
            using var service = ServiceProcess.Start(_folder.Root);
            await service.WhenListeningAsync();
            if (isExternal)
            {
                await service.WhenSubscribedAsync(); // before the first time, the broker keeps nothing for it
            }

            sending ??= Task.Run(() => SendAllAsync(port, packets), Stop);
            await UntilAsync(() => BytesIn(recordings) >= moment);
            await service.KillAsync();
        }

        using var last = ServiceProcess.Start(_folder.Root);
        await last.WhenListeningAsync();
        await sending!;
        await UntilAsync(() => Recorded(recordings).Count >= packets.Count);
        Assert.Equal(0, await last.StopAsync());

        Assert.Equal(packets.Select(Name).Order(StringComparer.Ordinal), Recorded(recordings).Order(StringComparer.Ordinal), StringComparer.Ordinal);
        await using var store = await HallStore.OpenAsync(new() { File = _folder.File("data/saltograph.db") }, Stop);
        var jumps = await JumpsAsync(store);
        var expected = Undisturbed(hall, packets, start).Order(StringComparer.Ordinal).ToList();
        Assert.True(expected.Count >= 8, $"only {expected.Count} jumps: too few to show anything");
        AssertSameJumps(expected, [.. jumps.Select(jump => jump.Id).Order(StringComparer.Ordinal)]);
        await UntilAsync(() => jumps.All(jump => coach.Ids.ContainsKey(jump.Id)));
        Assert.Equal(jumps.Select(jump => jump.Id).Order(StringComparer.Ordinal), coach.Ids.Keys.Order(StringComparer.Ordinal), StringComparer.Ordinal);
        Assert.Empty(await store.Sessions.OpenRecordingsAsync(Stop));
        await AssertReplayIsTheSameAsync(store, jumps, recordings);
        await AssertWarnedOnceAsync(store);
    }

    // What led to a warning leads to no other: the same landings under two ids would be one warning with two.
    private static async Task AssertWarnedOnceAsync(HallStore store)
    {
        var raised = await store.Warnings.RaisedAsync(null, 0, long.MaxValue, 10_000, Stop);
        var landings = new List<string>();
        foreach (var warning in raised)
        {
            var history = await store.Warnings.HistoryAsync(warning.Id, Stop);
            Assert.Equal(Enumerable.Range(1, history.Count).Select(number => (long)number), history.Select(change => change.Number));
            using var detail = System.Text.Json.JsonDocument.Parse(history[0].Detail!);
            landings.AddRange(detail.RootElement.GetProperty("jumps").EnumerateArray().Select(jump => jump.GetString()!));
        }

        TestContext.Current.TestOutputHelper!.WriteLine($"{raised.Count} warnings of {landings.Count} landings");
        Assert.NotEmpty(raised);
        Assert.Equal(landings.Count, landings.Distinct(StringComparer.Ordinal).Count());
    }

    private async Task AssertReplayIsTheSameAsync(HallStore store, List<JumpRow> jumps, string recordings)
    {
        await using var empty = await HallStore.OpenAsync(new() { File = _folder.File("replayed.db") }, Stop);
        foreach (var recording in RecordingFiles.All(recordings))
        {
            await new RecordingReplay(recording).IntoAsync(empty, new(TimeZoneInfo.Utc), Stop, new() { AnkleCapG = 3 });
        }

        Assert.Equal(jumps, await JumpsAsync(empty));
        Assert.Equal(await store.Load.DaysAsync(null, "2000-01-01", "2100-01-01", Stop), await empty.Load.DaysAsync(null, "2000-01-01", "2100-01-01", Stop));
        Assert.Equal(await store.Sessions.OverlappingAsync(null, 0, long.MaxValue, Stop), await empty.Sessions.OverlappingAsync(null, 0, long.MaxValue, Stop));
    }

    private static async Task UntilAsync(Func<bool> isSo)
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(Stop);
        limit.CancelAfter(TimeSpan.FromMinutes(2));
        while (!isSo())
        {
            await Task.Delay(5, limit.Token);
        }
    }

    private static long BytesIn(string folder) =>
        Directory.Exists(folder) ? Directory.GetFiles(folder, "*", SearchOption.AllDirectories).Sum(file => new FileInfo(file).Length) : 0;

    // A packet that was recorded and killed before its acknowledgement comes twice.
    private static HashSet<string> Recorded(string folder) =>
        [.. RecordingFiles.All(folder).SelectMany(recording => recording.Packets()).Select(packet => $"{packet.Sensor} {Convert.ToHexString(packet.Bytes.Span)}")];

    private static string Name(TimedPacket packet) => $"{packet.Sensor} {Convert.ToHexString(packet.Bytes.Span)}";
}
