using System.Diagnostics.Metrics;

namespace Saltograph.Service;

/// <summary>What the service counts.</summary>
internal sealed class ServiceMetrics
{
    /// <summary>Name of the meter.</summary>
    public const string MeterName = "Saltograph";

    private readonly Counter<long> _packetsTaken;
    private readonly Counter<long> _packetsRefused;
    private readonly Counter<long> _measuringFailures;
    private readonly Counter<long> _sinkFailures;
    private readonly Counter<long> _factsDropped;

    /// <summary>Makes the counters.</summary>
    public ServiceMetrics(IMeterFactory meters)
    {
        var meter = meters.Create(MeterName);
        _packetsTaken = meter.CreateCounter<long>("saltograph.packets.taken", "{packet}", "Packets given to the measuring.");
        _packetsRefused = meter.CreateCounter<long>("saltograph.packets.refused", "{packet}", "Packets not taken, by reason.");
        _measuringFailures = meter.CreateCounter<long>("saltograph.measuring.failures", "{failure}", "Athletes whose measuring had to begin anew.");
        _sinkFailures = meter.CreateCounter<long>("saltograph.sink.failures", "{fact}", "Facts that a sink failed on.");
        _factsDropped = meter.CreateCounter<long>("saltograph.sink.dropped", "{fact}", "Facts not given to a slow sink.");
    }

    /// <summary>A packet was measured.</summary>
    public void PacketTaken() => _packetsTaken.Add(1);

    /// <summary>A packet was not.</summary>
    public void PacketRefused(string reason) => _packetsRefused.Add(1, new KeyValuePair<string, object?>("reason", reason));

    /// <summary>An athlete's measuring failed.</summary>
    public void MeasuringFailed() => _measuringFailures.Add(1);

    /// <summary>A sink failed on a fact.</summary>
    public void SinkFailed(string sink) => _sinkFailures.Add(1, new KeyValuePair<string, object?>("sink", sink));

    /// <summary>A fact was not given to a sink.</summary>
    public void FactDropped(string sink) => _factsDropped.Add(1, new KeyValuePair<string, object?>("sink", sink));
}
