using System.Diagnostics.Metrics;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using Saltograph.Imu;
using Saltograph.Service.Athletes;
using Saltograph.Service.Facts;
using Saltograph.Service.Tests.Faults;
using Saltograph.Simulator.Network;
using Saltograph.Wire.Packets;

namespace Saltograph.Service.Tests.Facts;

public sealed class SessionCountsTests : IDisposable
{
    private readonly ServiceProvider _services = new ServiceCollection().AddMetrics().BuildServiceProvider();
    private readonly Dictionary<string, long> _counted = new(StringComparer.Ordinal);
    private readonly MeterListener _listener = new();

    [Fact]
    [Fault("packets late, double, of an earlier power-up, or garbage", "left out and counted by reason")]
    public async Task What_became_of_the_packets_is_counted_by_reason()
    {
        var factory = _services.GetRequiredService<IMeterFactory>();
        var metrics = new ServiceMetrics(factory);
        _listener.InstrumentPublished = (instrument, listener) =>
        {
            // A listener hears every meter of the process; the other tests have meters of the same name.
            if (ReferenceEquals(instrument.Meter.Scope, factory))
            {
                listener.EnableMeasurementEvents(instrument);
            }
        };
        _listener.SetMeasurementEventCallback<long>((instrument, value, tags, _) =>
        {
            var key = instrument.Name + (tags.Length > 0 ? " " + tags[0].Value : string.Empty);
            _counted[key] = _counted.GetValueOrDefault(key) + value;
        });
        _listener.Start();
        var hall = new HallSimulation(new() { Seed = 5, AthleteCount = 1, DurationS = 122 }, NetworkOptions.Faultless);
        var trunk = hall.Sensors.First(sensor => sensor.Site == Site.Trunk);
        var simulated = new List<SimulatedPacket>();
        hall.Advance(120, simulated);
        var packets = simulated.Where(packet => packet.Sensor == trunk).ToList();
        var measuring = new AthleteMeasuring(
            trunk.Athlete, new Dictionary<SensorId, Site> { [trunk.Sensor] = Site.Trunk }, new(), new DayLedger());
        var facts = new List<Fact>();

        void Push(ReadOnlyMemory<byte> bytes, double receivedS) => measuring.Push(new(trunk.Sensor, bytes, hall.HallTime(receivedS)), facts);
        Push(new byte[] { 0xA0 }, 0.1); // an empty map
        Push(new byte[] { 0xFF }, 0.1); // no CBOR
        Push(new byte[] { 0xFF }, 0.1);
        foreach (var (packet, index) in packets.Select((packet, index) => (packet, index)))
        {
            if (index is not (10 or 20 or 21))
            {
                Push(packet.Bytes, packet.ReceivedS);
            }

            if (index == 60)
            {
                Push(packets[10].Bytes, packet.ReceivedS); // its turn was past more than two seconds ago
            }

            if (index == 70)
            {
                Push(packet.Bytes, packet.ReceivedS);
                Push(packet.Bytes, packet.ReceivedS);
            }
        }

        // The sensor starts anew; then a packet of the power-up before comes, which it had sent already or not.
        for (var i = 0; i < 5; i++)
        {
            Push(Standing(sequence: (uint)i), 121 + (0.05 * i));
        }

        Push(packets[20].Bytes, 121.3);
        measuring.Complete(facts);
        var sink = new LogSink(metrics, NullLogger<LogSink>.Instance);
        foreach (var fact in facts)
        {
            await sink.EmitAsync(fact, TestContext.Current.CancellationToken);
        }

        Assert.Equal(1, _counted["saltograph.packets.refused MissingKey"]);
        Assert.Equal(2, _counted["saltograph.packets.refused Malformed"]);
        var session = Assert.Single(facts.OfType<SessionCounted>());
        var counts = session.Sensors.Single().Counts;
        Assert.Equal(3, counts.Rejected);
        Assert.Equal(3, counts.Lost); // 10 was given up before it came, 20 and 21 never came in time
        Assert.Equal(1, counts.Late);
        Assert.Equal(2, counts.Duplicates);
        Assert.Equal(1, counts.StaleBoots);
        Assert.Equal(2, counts.Boots);
        Assert.Equal(counts.Lost, _counted["saltograph.packets.unused lost"]);
        Assert.Equal(counts.Late, _counted["saltograph.packets.unused late"]);
        Assert.Equal(counts.Duplicates, _counted["saltograph.packets.unused duplicate"]);
        Assert.Equal(counts.StaleBoots, _counted["saltograph.packets.unused stale-boot"]);
        Assert.NotEmpty(session.RefusedFlights); // steps between the jumps are falls of the velocity, too
        Assert.All(session.RefusedFlights, why => Assert.Equal(why.Value, _counted[$"saltograph.flights.refused {why.Key}"]));
    }

    private static byte[] Standing(uint sequence)
    {
        var counts = new short[20 * PacketFormat.AxesPerSample];
        for (var i = 2; i < counts.Length; i += PacketFormat.AxesPerSample)
        {
            counts[i] = 2048; // 1 g at 16 g full scale
        }

        return new PacketWriter().Write(
            new PacketHeader
            {
                Boot = new(77),
                Sequence = sequence,
                FirstSampleDeviceMicroseconds = sequence * 50_000,
                IntervalNanoseconds = 2_500_000,
                AccelerometerCountMps2 = 16 * Gravity.StandardMps2 / 32_768,
                GyroscopeCountRadps = 0.001,
            },
            counts);
    }

    public void Dispose()
    {
        _listener.Dispose();
        _services.Dispose();
    }
}
