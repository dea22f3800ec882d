using System.Buffers;
using System.Collections.Concurrent;
using Microsoft.Extensions.DependencyInjection;
using MQTTnet;
using Saltograph.Imu;
using Saltograph.Pipeline;
using Saltograph.Service.Athletes;
using Saltograph.Service.Facts;
using Saltograph.Service.Hosting;
using Saltograph.Service.Ingest;
using Saltograph.Service.Results;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>What a subscriber gets, while its connection is cut and restored, equals the analysis of the same packets.</summary>
public sealed class DeliveryTests
{
    private const int JumpsEach = 12;

    private static readonly (string Athlete, string Sensor, uint Boot)[] Wearers = [("amber", "a-trunk", 0xa), ("beryl", "b-trunk", 0xb)];

    // Without its ankle sensors amber would wait for their samples; here everybody wears one sensor.
    private static readonly Service.Configuration.RosterOptions OneSensorEach = new()
    {
        Sensors = [.. Wearers.Select(wearer => new Service.Configuration.RosterEntry { Sensor = wearer.Sensor, Athlete = wearer.Athlete, Site = "trunk" })],
    };

    [Fact]
    public async Task Over_the_embedded_broker_no_jump_is_lost_or_doubled()
    {
        var arrivals = new Arrivals();
        await using var host = await TestHall.StartAsync(scripted: false, roster: OneSensorEach, adjust: arrivals.Watch);
        await AssertEqualsOfflineAsync(host, host.MqttPort, arrivals);
    }

    [Fact]
    public async Task Over_mosquitto_no_jump_is_lost_or_doubled()
    {
        await using var broker = await Mosquitto.StartAsync();
        var arrivals = new Arrivals();
        await using var host = await TestHall.StartAsync(TestHall.Options(broker.Port), scripted: false, roster: OneSensorEach, adjust: arrivals.Watch);
        await MosquittoHallTests.ReadyAsync(host);
        await AssertEqualsOfflineAsync(host, broker.Port, arrivals);
    }

    private static async Task AssertEqualsOfflineAsync(HallHost host, int port, Arrivals arrivals)
    {
        var packets = Wearers.ToDictionary(wearer => wearer, wearer => TextbookPackets.Of(JumpsEach, wearer.Boot));
        await using var coach = await Subscriber.ConnectAsync(port, "coach", keepSession: true, TestHall.Jumps("+"), $"saltograph/v1/{TestHall.Hall}/athletes/+/live");
        await using var gateway = await Subscriber.ConnectAsync(port, "gateway");
        var count = packets.Values.First().Count;
        for (var i = 0; i < count; i++)
        {
            if (i == count / 3)
            {
                await coach.CutAsync();
            }
            else if (i == 2 * count / 3)
            {
                await coach.ReconnectAsync();
            }

            foreach (var (wearer, its) in packets)
            {
                Assert.True((await gateway.PublishAsync(TestHall.Samples(wearer.Sensor), its[i])).IsSuccess);
            }
        }

        await host.StopAsync();
        var expected = Wearers.SelectMany(wearer => Offline(wearer, arrivals)).ToDictionary(StringComparer.Ordinal);
        Assert.Equal(Wearers.Length * JumpsEach, expected.Count);
        var received = new Dictionary<string, string>(StringComparer.Ordinal);
        while (received.Count < expected.Count)
        {
            var message = await coach.NextAsync();
            if (message.Topic.EndsWith("/jumps", StringComparison.Ordinal))
            {
                var (id, data) = Read(message);
                Assert.True(received.TryAdd(id, data) || received[id] == data, $"{id} came twice with different contents");
            }
        }

        Assert.Equal(Lines(expected), Lines(received));
    }

    private static string Lines(Dictionary<string, string> events) =>
        string.Join('\n', events.OrderBy(pair => pair.Key, StringComparer.Ordinal).Select(pair => $"{pair.Key} {pair.Value}"));

    private static IEnumerable<KeyValuePair<string, string>> Offline((string Athlete, string Sensor, uint Boot) wearer, Arrivals arrivals)
    {
        var (athlete, sensor) = (new AthleteId(wearer.Athlete), new SensorId(wearer.Sensor));
        var pipeline = new AthletePipeline(athlete, new Dictionary<SensorId, Site> { [sensor] = Site.Trunk }, new());
        var output = new PipelineOutput();
        foreach (var packet in arrivals.Of(sensor))
        {
            pipeline.Push(sensor, packet.Bytes, packet.ReceivedHall, output);
        }

        pipeline.Complete(output);
        return output.Jumps.Select(jump => KeyValuePair.Create(jump.Id, Text(athlete, jump)));
    }

    private static string Text(AthleteId athlete, JumpEvent jump)
    {
        var bytes = new ArrayBufferWriter<byte>();
        using (var json = new System.Text.Json.Utf8JsonWriter(bytes))
        {
            JumpJson.Write(json, athlete, jump.Jump, onHallClock: true);
        }

        return System.Text.Encoding.UTF8.GetString(bytes.WrittenSpan);
    }

    private static (string Id, string Data) Read(MqttApplicationMessage message)
    {
        Assert.True(CloudEventReader.TryRead(message.Payload.ToArray(), out var cloudEvent).IsAccepted);
        return (cloudEvent!.Attributes.Id, cloudEvent.Data!.Value.GetRawText());
    }

    /// <summary>Notes what the measuring of the host was given, with the times of arrival.</summary>
    private sealed class Arrivals
    {
        private readonly ConcurrentDictionary<SensorId, ConcurrentQueue<IncomingPacket>> _packets = new();

        public ConcurrentQueue<IncomingPacket> Of(SensorId sensor) => _packets[sensor];

        public void Watch(IServiceCollection services)
        {
            var begin = (Func<IServiceProvider, object>)services.Last(service => service.ServiceType == typeof(Func<AthleteId, IAthleteMeasuring>)).ImplementationFactory!;
            services.AddSingleton<Func<AthleteId, IAthleteMeasuring>>(provider =>
            {
                var inner = (Func<AthleteId, IAthleteMeasuring>)begin(provider);
                return athlete => new Watched(inner(athlete), packet => _packets.GetOrAdd(packet.Sensor, _ => new()).Enqueue(packet));
            });
        }

        private sealed class Watched(IAthleteMeasuring inner, Action<IncomingPacket> note) : IAthleteMeasuring
        {
            public void Push(IncomingPacket packet, List<Fact> facts)
            {
                note(packet);
                inner.Push(packet, facts);
            }

            public void Complete(List<Fact> facts) => inner.Complete(facts);
        }
    }
}
