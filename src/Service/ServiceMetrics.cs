using System.Diagnostics.Metrics;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline;

namespace Saltograph.Service;

/// <summary>What the service counts.</summary>
internal sealed class ServiceMetrics
{
    /// <summary>Name of the meter.</summary>
    public const string MeterName = "Saltograph";

    private readonly Counter<long> _packetsTaken;
    private readonly Counter<long> _packetsRefused;
    private readonly Counter<long> _packetsNotUsed;
    private readonly Counter<long> _flightsRefused;
    private readonly Counter<long> _measuringFailures;
    private readonly Counter<long> _sinkFailures;
    private readonly Counter<long> _factsDropped;
    private readonly Counter<long> _gaps;
    private readonly Histogram<double> _latency;

    /// <summary>Makes the counters.</summary>
    public ServiceMetrics(IMeterFactory meters)
    {
        var meter = meters.Create(MeterName);
        _packetsTaken = meter.CreateCounter<long>("saltograph.packets.taken", "{packet}", "Packets given to the measuring.");
        _packetsRefused = meter.CreateCounter<long>("saltograph.packets.refused", "{packet}", "Packets not taken, by reason.");
        _packetsNotUsed = meter.CreateCounter<long>("saltograph.packets.unused", "{packet}", "Packets lost, late, double, stale or contradictory, counted at the end of a session.");
        _flightsRefused = meter.CreateCounter<long>("saltograph.flights.refused", "{flight}", "Falls of the velocity that were no jumps, by reason, counted at the end of a session.");
        _measuringFailures = meter.CreateCounter<long>("saltograph.measuring.failures", "{failure}", "Athletes whose measuring had to begin anew.");
        _sinkFailures = meter.CreateCounter<long>("saltograph.sink.failures", "{fact}", "Facts that a sink failed on.");
        _factsDropped = meter.CreateCounter<long>("saltograph.sink.dropped", "{fact}", "Facts not given to a slow sink.");
        _gaps = meter.CreateCounter<long>("saltograph.sensor.lost", "{packet}", "Packets that did not come in time, by sensor, while a session runs.");
        _latency = meter.CreateHistogram<double>("saltograph.event.latency", "s", "From the first contact, hall clock, until its event was stored and given to be sent; by event.");
    }

    /// <summary>A packet was measured.</summary>
    public void PacketTaken() => _packetsTaken.Add(1);

    /// <summary>A packet was not.</summary>
    public void PacketRefused(string reason) => _packetsRefused.Add(1, new KeyValuePair<string, object?>("reason", reason));

    /// <summary>Packets of a sensor were given up.</summary>
    public void PacketsLost(SensorId sensor, long count) => _gaps.Add(count, new KeyValuePair<string, object?>("sensor", sensor.Value));

    /// <summary>An event was stored and given to be sent.</summary>
    /// <param name="what"><c>landing</c> or <c>jump</c>.</param>
    /// <param name="latencyS">Since the first contact, s.</param>
    public void EventTold(string what, double latencyS) => _latency.Record(latencyS, new KeyValuePair<string, object?>("event", what));

    /// <summary>A session of a sensor ended with these counts; what was rejected has been counted already.</summary>
    public void PacketsCounted(SensorId sensor, in SensorCounts counts)
    {
        Add(counts.Lost, "lost");
        Add(counts.Late, "late");
        Add(counts.Duplicates, "duplicate");
        Add(counts.StaleBoots, "stale-boot");
        Add(counts.Contradictory, "contradictory");

        void Add(long count, string reason) => _packetsNotUsed.Add(
            count, new KeyValuePair<string, object?>("reason", reason), new KeyValuePair<string, object?>("sensor", sensor.Value));
    }

    /// <summary>Flights of a session were no jumps.</summary>
    public void FlightsRefused(FlightRefusal why, int count) =>
        _flightsRefused.Add(count, new KeyValuePair<string, object?>("reason", why.ToString()));

    /// <summary>An athlete's measuring failed.</summary>
    public void MeasuringFailed() => _measuringFailures.Add(1);

    /// <summary>A sink failed on a fact.</summary>
    public void SinkFailed(string sink) => _sinkFailures.Add(1, new KeyValuePair<string, object?>("sink", sink));

    /// <summary>A fact was not given to a sink.</summary>
    public void FactDropped(string sink) => _factsDropped.Add(1, new KeyValuePair<string, object?>("sink", sink));
}
