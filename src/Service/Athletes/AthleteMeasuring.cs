using Saltograph.Board.Live;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Athletes;

/// <summary>The pipeline of one athlete, and the live summary that the service adds to its facts.</summary>
internal sealed class AthleteMeasuring : IAthleteMeasuring
{
    private const double LiveIntervalS = 0.1;

    private readonly AthleteId _athlete;
    private readonly IReadOnlyDictionary<SensorId, Site> _sensors;
    private readonly DayLedger _ledger;
    private readonly AthletePipeline _pipeline;
    private readonly PipelineOutput _output = new();
    private readonly SortedSet<Site> _heard = [];
    private readonly SortedDictionary<FlightRefusal, int> _refusedFlights = [];
    private readonly MotionBins _motion = new();
    private SampleTime? _lastLive;
    private JumpRecord? _lastJump;

    /// <summary>Begins to measure.</summary>
    /// <param name="athlete">Whom.</param>
    /// <param name="sensors">Her sensors and their sites.</param>
    /// <param name="options">Validated.</param>
    /// <param name="ledger">The totals of the day, for the summary.</param>
    public AthleteMeasuring(AthleteId athlete, IReadOnlyDictionary<SensorId, Site> sensors, PipelineOptions options, DayLedger ledger)
    {
        (_athlete, _sensors, _ledger) = (athlete, sensors, ledger);
        _pipeline = new(athlete, sensors, options);
    }

    /// <inheritdoc/>
    public void Push(IncomingPacket packet, List<Fact> facts)
    {
        _output.Clear();
        _pipeline.Push(packet.Sensor, packet.Bytes, packet.ReceivedHall, _output);
        AddFacts(facts);
        if (_output.Outcome is PacketOutcome.Rejected or PacketOutcome.UnsupportedRate)
        {
            var reason = _output.Verdict.IsAccepted ? _output.Outcome.ToString() : _output.Verdict.Fault.ToString();
            facts.Add(new PacketRejected(_athlete, packet.Sensor, reason, _output.Verdict.Message));
        }

        _heard.Add(_sensors[packet.Sensor]);
        var sinceS = _lastLive is { } last ? packet.ReceivedHall - last : double.PositiveInfinity;
        if (sinceS is >= LiveIntervalS or < 0)
        {
            // On by the interval, not to the packet, or the rate would fall below ten per second by the packets' spacing;
            // after a silence or a step of the clock, back included, from here.
            _lastLive = sinceS is >= LiveIntervalS and < 2 * LiveIntervalS ? _lastLive!.Value.PlusSeconds(LiveIntervalS) : packet.ReceivedHall;
            facts.Add(new LiveSummary(_athlete, packet.ReceivedHall, [.. _heard], _ledger.Of(_athlete), _lastJump) { Motion = _motion.Take() });
            _heard.Clear();
        }
    }

    /// <inheritdoc/>
    public void Complete(List<Fact> facts)
    {
        _output.Clear();
        _pipeline.Complete(_output);
        AddFacts(facts);
        facts.Add(new SessionCounted(_athlete, [.. _sensors.Keys.Select(sensor => (sensor, _pipeline.Counts(sensor)))], _refusedFlights));
    }

    private void AddFacts(List<Fact> facts)
    {
        foreach (var trunk in _output.Trunk)
        {
            _motion.Add(trunk.Time.Microseconds, trunk.VerticalAccelerationMps2, trunk.TurnRateRadps * Angles.DegPerRad);
        }

        foreach (var landing in _output.Landings)
        {
            facts.Add(new LandingMeasured(_athlete, landing.Id, landing.Landing));
        }

        foreach (var jump in _output.Jumps)
        {
            _lastJump = jump.Jump;
            facts.Add(new JumpMeasured(_athlete, jump.Id, jump.Jump));
        }

        foreach (var refused in _output.RefusedFlights)
        {
            _refusedFlights[refused.Why] = _refusedFlights.GetValueOrDefault(refused.Why) + 1;
        }

        foreach (var sensor in _output.Sensors)
        {
            facts.Add(new SensorReported(_athlete, sensor));
        }
    }
}
