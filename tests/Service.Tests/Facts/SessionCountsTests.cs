using System.Diagnostics.Metrics;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Saltograph.Imu;
using Saltograph.Service.Athletes;
using Saltograph.Service.Facts;
using Saltograph.Simulator.Network;

namespace Saltograph.Service.Tests.Facts;

public sealed class SessionCountsTests : IDisposable
{
    private readonly ServiceProvider _services = new ServiceCollection().AddMetrics().BuildServiceProvider();
    private readonly Dictionary<string, long> _counted = new(StringComparer.Ordinal);
    private readonly MeterListener _listener = new();

    [Fact]
    public async Task What_became_of_the_packets_is_counted_by_reason()
    {
        var metrics = new ServiceMetrics(_services.GetRequiredService<IMeterFactory>());
        _listener.InstrumentPublished = (instrument, listener) => listener.EnableMeasurementEvents(instrument);
        _listener.SetMeasurementEventCallback<long>((instrument, value, tags, _) =>
        {
            var key = instrument.Name + (tags.Length > 0 ? " " + tags[0].Value : string.Empty);
            _counted[key] = _counted.GetValueOrDefault(key) + value;
        });
        _listener.Start();
        var hall = new HallSimulation(new() { AthleteCount = 1, DurationS = 12 }, new NetworkOptions());
        var trunk = hall.Sensors.First(sensor => sensor.Site == Site.Trunk);
        var packets = new List<SimulatedPacket>();
        hall.Advance(10, packets);
        var measuring = new AthleteMeasuring(
            trunk.Athlete, new Dictionary<SensorId, Site> { [trunk.Sensor] = Site.Trunk }, new(), new DayLedger());
        var facts = new List<Fact>();

        void Push(ReadOnlyMemory<byte> bytes, double receivedS) => measuring.Push(new(trunk.Sensor, bytes, hall.HallTime(receivedS)), facts);
        Push(new byte[] { 0xA0 }, 0.1); // an empty map
        Push(new byte[] { 0xFF }, 0.1); // no CBOR
        Push(new byte[] { 0xFF }, 0.1);
        // One is left out: it was lost on the way.
        foreach (var (packet, index) in packets.Where(packet => packet.Sensor == trunk).Select((packet, index) => (packet, index)))
        {
            if (index == 10)
            {
                continue;
            }

            Push(packet.Bytes, packet.ReceivedS);
        }

        Push(packets.Last(packet => packet.Sensor == trunk).Bytes, 10.2); // comes again
        measuring.Complete(facts);
        var sink = new LogSink(metrics, NullLogger<LogSink>.Instance);
        foreach (var fact in facts)
        {
            await sink.EmitAsync(fact, TestContext.Current.CancellationToken);
        }

        Assert.Equal(1, _counted["saltograph.packets.refused MissingKey"]);
        Assert.Equal(2, _counted["saltograph.packets.refused Malformed"]);
        Assert.True(_counted["saltograph.packets.unused duplicate"] >= 1);
        var session = Assert.Single(facts.OfType<SessionCounted>());
        Assert.Equal(3, session.Sensors.Single().Counts.Rejected);
        Assert.True(session.Sensors.Single().Counts.Lost >= 1);
        Assert.Equal(_counted["saltograph.packets.unused lost"], session.Sensors.Single().Counts.Lost);
        Assert.All(session.RefusedFlights, why => Assert.Equal(why.Value, _counted[$"saltograph.flights.refused {why.Key}"]));
    }

    public void Dispose()
    {
        _listener.Dispose();
        _services.Dispose();
    }
}
