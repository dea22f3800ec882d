using System.Diagnostics;
using MQTTnet;
using MQTTnet.Protocol;
using Saltograph.Imu;
using Saltograph.Pipeline;
using Saltograph.Service.Ingest;
using Saltograph.Service.Simulated;
using Saltograph.Service.Tests.Durability;
using Saltograph.Service.Tests.Faults;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Store.Recordings;

namespace Saltograph.Service.Tests.Processes;

/// <summary>The verb <c>serve</c> as an operating system sees it.</summary>
public sealed class ServeTests : IDisposable
{
    private static readonly SimulationOptions Training = new() { Seed = 31, AthleteCount = 2, DurationS = 60 };

    private readonly TemporaryFolder _folder = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_roster_with_a_null_entry_ends_the_start_with_2_and_names_it()
    {
        Write("service.json", "{ \"http\": { \"port\": 0 } }");
        Write("roster.json", "{ \"sensors\": [ null ] }");
        Write("thresholds.json", "{}");
        using var process = Process.Start(new ProcessStartInfo(Path.Combine(AppContext.BaseDirectory, "saltograph"), ["serve", "--config", _folder.Root])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        })!;
        var output = process.StandardOutput.ReadToEndAsync(Stop);
        var errors = await process.StandardError.ReadToEndAsync(Stop);
        await process.WaitForExitAsync(Stop);
        Assert.Equal(2, process.ExitCode);
        Assert.Contains("roster.json, sensors[0]: found null", errors, StringComparison.Ordinal);
        Assert.Empty(await output);
    }

    // Wherever the stop falls, what was acknowledged is measured to its end and told, and nothing else is.
    [Fact]
    [Fault("a stop signal in the middle of traffic", "what was acknowledged is measured to its end and told; exit code 0", back: "with the next start")]
    public async Task A_stop_signal_in_the_middle_of_traffic_publishes_exactly_what_was_taken_and_ends_with_0()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux() || OperatingSystem.IsMacOS(), "SIGTERM is a signal of Unix");
        var hall = new SimulatedHall(Training, NetworkOptions.Faultless, new(TestHall.Hall));
        var start = HallClock.Now(TimeProvider.System);
        var packets = hall.Packets(start).ToList();
        var port = FreeTcpPort.Find();
        Write("service.json", $"{{ \"hall\": \"{TestHall.Hall}\", \"broker\": {{ \"embeddedBroker\": {{ \"port\": {port}, \"anonymous\": true }} }}, \"http\": {{ \"port\": 0 }} }}");
        Write("roster.json", hall.RosterJson());
        Write("thresholds.json", "{ \"pipeline\": { \"mostStatedAheadS\": 86400, \"mostStatedBehindS\": 86400 } }"); // packets come faster than they were made
        using var service = ServiceProcess.Start(_folder.Root);
        await service.WhenListeningAsync();
        await using var coach = await Subscriber.ConnectAsync(port, "coach", filters: TestHall.Jumps("+"));
        using var gateway = new MqttClientFactory().CreateMqttClient();
        await gateway.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithClientId("gateway").Build(), Stop);
        var acknowledged = 0;
        var half = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var sending = Task.Run(
            async () =>
            {
                foreach (var packet in packets)
                {
                    var message = new MqttApplicationMessage
                    {
                        Topic = TestHall.Samples(packet.Sensor.Value),
                        PayloadSegment = new(packet.Bytes.ToArray()),
                        QualityOfServiceLevel = MqttQualityOfServiceLevel.AtLeastOnce,
                    };
                    if (!(await gateway.PublishAsync(message, Stop)).IsSuccess)
                    {
                        break;
                    }

                    if (++acknowledged == packets.Count / 2)
                    {
                        half.SetResult();
                    }
                }
            },
            Stop);
        await half.Task.WaitAsync(Stop);
        Assert.Equal(0, await service.StopAsync());
        await Record.ExceptionAsync(() => sending); // the connection ends under it

        var recorded = RecordingFiles.All(_folder.File("data/recordings"))
            .SelectMany(recording => recording.Packets().Select(packet => (packet.Sensor, packet.ReceivedUs, packet.Bytes))).ToList();
        Assert.True(acknowledged < packets.Count, "the stop came after the last packet and shows nothing");
        Assert.InRange(recorded.Count, acknowledged, acknowledged + 1); // the last acknowledgement may have been lost with the connection
        var expected = new List<string>();
        foreach (var worn in hall.Roster.Sensors.GroupBy(entry => entry.Athlete, StringComparer.Ordinal))
        {
            var sensors = worn.ToDictionary(entry => new SensorId(entry.Sensor), entry => Sites.TryParse(entry.Site, out var site) ? site : throw new FormatException());
            var pipeline = new AthletePipeline(new(worn.Key), sensors, new() { MostStatedAheadS = 86_400, MostStatedBehindS = 86_400 });
            var output = new PipelineOutput();
            foreach (var packet in recorded.Where(packet => sensors.ContainsKey(new(packet.Sensor))))
            {
                pipeline.Push(new(packet.Sensor), packet.Bytes, new(packet.ReceivedUs), output);
            }

            pipeline.Complete(output);
            expected.AddRange(output.Jumps.Select(jump => jump.Id));
        }

        Assert.True(expected.Count >= 4, $"only {expected.Count} jumps: too few to show anything");
        var published = new List<string>();
        while (published.Count < expected.Count)
        {
            published.Add(EmbeddedHallTests.IdOf(await coach.NextAsync()));
        }

        Assert.Equal(expected.Order(StringComparer.Ordinal), published.Order(StringComparer.Ordinal), StringComparer.Ordinal);
        Assert.False(coach.HasMore);
    }

    public void Dispose() => _folder.Dispose();

    private void Write(string name, string text) => _folder.Write(name, text);
}
