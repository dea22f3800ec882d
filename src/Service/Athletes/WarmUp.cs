using System.Diagnostics.Metrics;
using System.Reactive.Concurrency;
using System.Reactive.Subjects;
using Microsoft.Extensions.Logging.Abstractions;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Wire.Packets;

namespace Saltograph.Service.Athletes;

/// <summary>
/// Runs the way of a packet once for a made-up athlete who stands still and is forgotten again: what runs for the first
/// time is compiled first, and the first real packets would seem late to the clocks of their sensors.
/// </summary>
internal static class WarmUp
{
    private const int Packets = 80;
    private const int SamplesPerPacket = 20;
    private const double SampleRateHz = 416;
    private const double CountMps2 = 16 * Gravity.StandardMps2 / 32_768;

    /// <summary>Does it; takes some tenths of a second.</summary>
    public static async Task RunAsync(CancellationToken stop)
    {
        using var meters = new OwnMeters();
        var metrics = new ServiceMetrics(meters);
        var roster = new Roster(new()
        {
            Sensors = [.. Enum.GetValues<Site>().Select(site => new RosterEntry { Sensor = site.Name(), Athlete = "warm-up", Site = site.Name() })],
        });
        var ledger = new DayLedger();
        var limits = new LimitOptions();
        using var dispatch = new FactDispatch([new MqttPublisher(new(new("warm-up")), new Nowhere())], limits, metrics, NullLogger<FactDispatch>.Instance);
        using var athletes = new AthleteStreams(
            roster,
            athlete => new AthleteMeasuring(athlete, roster.SensorsOf(athlete), new(), ledger),
            dispatch,
            new NoArchive(),
            limits,
            metrics,
            NullLogger<AthleteStreams>.Instance);
        using var packets = new Subject<IncomingPacket>();
        athletes.Start(packets, Scheduler.Default);
        var writer = new PacketWriter();
        for (var sequence = 0; sequence < Packets; sequence++)
        {
            var firstSampleUs = (long)(sequence * SamplesPerPacket * 1e6 / SampleRateHz);
            var bytes = Standing(writer, (uint)sequence, firstSampleUs);
            foreach (var entry in roster.SensorsOf(new("warm-up")).Keys)
            {
                var packet = new IncomingPacket(entry, bytes, new(firstSampleUs));
                packets.OnNext(packet);
                await packet.Fate.WaitAsync(stop);
            }
        }

        packets.OnCompleted();
        await athletes.CompleteAsync(stop);
        await dispatch.CompleteAsync(stop);
    }

    private static byte[] Standing(PacketWriter writer, uint sequence, long firstSampleUs)
    {
        var counts = new short[SamplesPerPacket * PacketFormat.AxesPerSample];
        for (var i = 0; i < SamplesPerPacket; i++)
        {
            counts[(i * PacketFormat.AxesPerSample) + 2] = (short)(Gravity.StandardMps2 / CountMps2);
        }

        return writer.Write(
            new PacketHeader
            {
                Boot = new(1),
                Sequence = sequence,
                FirstSampleDeviceMicroseconds = firstSampleUs,
                IntervalNanoseconds = (uint)Math.Round(1e9 / SampleRateHz),
                AccelerometerCountMps2 = CountMps2,
                GyroscopeCountRadps = 0.001,
            },
            counts);
    }

    /// <summary>Counts that nobody reads.</summary>
    private sealed class OwnMeters : IMeterFactory
    {
        private readonly Meter _meter = new("Saltograph.WarmUp");

        public Meter Create(MeterOptions options) => _meter;

        public void Dispose() => _meter.Dispose();
    }

    /// <summary>Messages that nobody gets.</summary>
    private sealed class Nowhere : IMessageOut
    {
        public ValueTask SendAsync(OutgoingMessage message, CancellationToken stop) => ValueTask.CompletedTask;

        public Task DrainAsync(CancellationToken stop) => Task.CompletedTask;
    }
}
