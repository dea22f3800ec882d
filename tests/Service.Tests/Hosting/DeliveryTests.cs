using System.Buffers;
using System.Text;
using System.Text.Json;
using Microsoft.Extensions.DependencyInjection;
using MQTTnet;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline;
using Saltograph.Service.Athletes;
using Saltograph.Service.Durability;
using Saltograph.Service.Hosting;
using Saltograph.Service.Ingest;
using Saltograph.Service.Recordings;
using Saltograph.Service.Results;
using Saltograph.Service.Simulated;
using Saltograph.Service.Tests.Faults;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>
/// Simulator, real broker, service, subscriber: what the subscriber gets, while its connection is cut and restored,
/// equals the analysis of the same packets and of the same samples.
/// </summary>
public sealed class DeliveryTests
{
    private static readonly SimulationOptions Training = new() { Seed = 11, AthleteCount = 3, DurationS = 60 };

    private readonly ArrivalClock _clock = new();
    private readonly Arrivals _arrivals = new();

    [Theory]
    [Fault("network faults, and a subscriber whose connection is cut", "the subscriber gets every jump, some twice with the same id", back: "when the subscriber is back")]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Over_the_embedded_broker_no_jump_is_lost_or_doubled(bool networkFaults)
    {
        var hall = Hall(networkFaults);
        await using var host = await TestHall.StartAsync(scripted: false, roster: hall.Roster, adjust: Watch);
        await AssertEqualsOfflineAsync(host, host.MqttPort, hall, networkFaults);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Over_mosquitto_no_jump_is_lost_or_doubled(bool networkFaults)
    {
        var hall = Hall(networkFaults);
        await using var broker = await Mosquitto.StartAsync();
        await using var host = await TestHall.StartAsync(TestHall.Options(broker.Port), scripted: false, roster: hall.Roster, adjust: Watch);
        await MosquittoHallTests.ReadyAsync(host);
        await AssertEqualsOfflineAsync(host, broker.Port, hall, networkFaults);
    }

    private static SimulatedHall Hall(bool networkFaults) =>
        new(Training, networkFaults ? new() : NetworkOptions.Faultless, new(TestHall.Hall));

    private static async Task<List<(string Athlete, string Id, string Data)>> UntilSentinelAsync(HallHost host, Subscriber coach)
    {
        // As a stop does, but with the broker still there: then a last message shows that nothing more is on its way.
        await host.Services.GetRequiredService<IPacketSource>().StopIntakeAsync();
        await host.Services.GetRequiredService<AthleteStreams>().CompleteAsync(TestContext.Current.CancellationToken);
        await host.Services.GetRequiredService<FactJournal>().CompleteAsync(TestContext.Current.CancellationToken);
        await host.Services.GetRequiredService<OutboxSender>().CompleteAsync(TestContext.Current.CancellationToken);
        var sentinel = TestHall.Jumps("sentinel");
        await host.Services.GetRequiredService<IMessageOut>().SendAsync(new(sentinel, [1], "text/plain", 1, Retain: false), TestContext.Current.CancellationToken);
        var messages = await coach.UntilAsync(message => message.Topic == sentinel);
        return [.. messages.Where(message => message.Topic.EndsWith("/jumps", StringComparison.Ordinal) && message.Topic != sentinel).Select(Read)];
    }

    private static (string Athlete, string Id, string Data) Read(MqttApplicationMessage message)
    {
        Assert.True(CloudEventReader.TryRead(message.Payload.ToArray(), out var cloudEvent).IsAccepted);
        return (cloudEvent!.Attributes.Subject!, cloudEvent.Attributes.Id, cloudEvent.Data!.Value.GetRawText());
    }

    internal static string Text(AthleteId athlete, JumpEvent jump)
    {
        var bytes = new ArrayBufferWriter<byte>();
        using (var json = new Utf8JsonWriter(bytes))
        {
            JumpJson.Write(json, athlete, jump.Jump, onHallClock: true);
        }

        return Encoding.UTF8.GetString(bytes.WrittenSpan);
    }

    private static IReadOnlyList<JumpRecord> OfSamples(SimulatedAthlete athlete) => RecordingAnalysis.Measure(
        Enum.GetValues<Site>().ToDictionary(site => site, site => AsRecording(athlete.At(site))), new());

    private static Recording AsRecording(IReadOnlyList<ImuSample> samples) => new()
    {
        Reference = new("simulated", null),
        TimesS = [.. samples.Select(sample => sample.Time.Seconds)],
        SpecificForcesSensorMps2 = [.. samples.Select(sample => sample.SpecificForceSensorMps2)],
        AngularRatesSensorRadps = [.. samples.Select(sample => sample.AngularRateSensorRadps)],
        Lost = new bool[samples.Count],
        Marks = [.. samples.Select(sample => sample.Marks)],
        SampleRateHz = Training.Sensors.SampleRateHz,
    };

    private void Watch(IServiceCollection services)
    {
        services.AddSingleton<TimeProvider>(_clock);
        _arrivals.Watch(services);
    }

    private async Task AssertEqualsOfflineAsync(HallHost host, int port, SimulatedHall hall, bool networkFaults)
    {
        await using var coach = await Subscriber.ConnectAsync(
            port, "coach", keepSession: true, TestHall.Jumps("+"), $"saltograph/v1/{TestHall.Hall}/athletes/+/live");
        await using var gateway = await Subscriber.ConnectAsync(port, "gateway");
        foreach (var packet in hall.Packets(ArrivalClock.Start))
        {
            if (packet.TimeS > Training.DurationS / 3 && packet.TimeS < 2 * Training.DurationS / 3)
            {
                await coach.CutAsync();
            }
            else if (!coach.IsConnected)
            {
                await coach.ReconnectAsync();
            }

            _clock.SetSimulated(packet.TimeS);
            Assert.True((await gateway.PublishAsync(TestHall.Samples(packet.Sensor.Value), packet.Bytes.ToArray())).IsSuccess);
        }

        var received = await UntilSentinelAsync(host, coach);
        var expected = hall.Roster.Sensors.GroupBy(entry => entry.Athlete, StringComparer.Ordinal)
            .SelectMany(worn => OfPackets(new(worn.Key), worn.ToDictionary(entry => new SensorId(entry.Sensor), entry => SiteOf(entry.Site)))).ToList();

        Assert.True(expected.Count >= 8, $"only {expected.Count} jumps: too few to show anything");

        // The same event may come twice after a cut (at least once, QoS 1), but then with the same id and the same contents.
        Assert.Equal(Lines(expected), Lines(received.Distinct()));
        if (!networkFaults)
        {
            AssertEqualsOfSamples(received.Distinct().ToList());
        }
    }

    private static Site SiteOf(string name)
    {
        Assert.True(Sites.TryParse(name, out var site));
        return site;
    }

    private static string Lines(IEnumerable<(string Athlete, string Id, string Data)> events) =>
        string.Join('\n', events.Select(item => $"{item.Id} {item.Data}").Order(StringComparer.Ordinal));

    private List<(string Athlete, string Id, string Data)> OfPackets(AthleteId athlete, Dictionary<SensorId, Site> sensors)
    {
        var pipeline = new AthletePipeline(athlete, sensors, new());
        var output = new PipelineOutput();
        foreach (var packet in _arrivals.Of(athlete))
        {
            pipeline.Push(packet.Sensor, packet.Bytes, packet.ReceivedHall, output);
        }

        pipeline.Complete(output);
        return [.. output.Jumps.Select(jump => (athlete.Value, jump.Id, Text(athlete, jump)))];
    }

    private static void AssertEqualsOfSamples(List<(string Athlete, string Id, string Data)> received)
    {
        foreach (var athlete in SimulatedSession.Simulate(Training))
        {
            var flights = received.Where(item => item.Athlete == athlete.Athlete.Value)
                .Select(item => JsonDocument.Parse(item.Data).RootElement.GetProperty("flightTimeS").GetDouble()).ToList();
            var offline = OfSamples(athlete).Where(jump => jump.LandingTime.Seconds < Training.DurationS - 1.5).ToList();
            Assert.NotEmpty(offline);
            for (var i = 0; i < offline.Count; i++)
            {
                Assert.Equal(offline[i].FlightTimeS, flights[i], 0.01); // clocks of sensors are known to about a millisecond
            }
        }
    }
}
