using Saltograph.Imu;
using Saltograph.Pipeline.Streams;
using Saltograph.Wire.Packets;

namespace Saltograph.Pipeline;

/// <summary>
/// One athlete: packets of up to three sensors in, facts out. Synchronous and without a clock of its own: what it knows of
/// time are the stamps in the packets and the stamps of their arrival. The same packets with the same stamps in the same
/// order give the same facts, to the byte.
/// </summary>
/// <remarks>
/// The order of the steps: read the packet; put the packets of a sensor in order; find the times of its samples on the
/// device clock; take them to the hall clock; merge the sensors by time; follow orientation and find jumps; name the facts.
/// Not for several threads at once. Nothing is allocated per sample or packet once the buffers have grown.
/// </remarks>
public sealed class AthletePipeline
{
    private readonly Dictionary<SensorId, SensorStream> _bySensor = [];
    private readonly SensorStream[] _streams;
    private readonly PacketReader _reader = new();
    private readonly SampleMerge _merge;

    /// <summary>Makes the pipeline of an athlete.</summary>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="sensors">Who sits where: 1 to 3 sensors, each at a site of its own.</param>
    /// <param name="options">Validated here.</param>
    public AthletePipeline(AthleteId athlete, IReadOnlyDictionary<SensorId, Site> sensors, PipelineOptions options)
    {
        ArgumentNullException.ThrowIfNull(sensors);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        Athlete = athlete;
        _streams = [.. sensors.OrderBy(pair => pair.Value).Select(pair => new SensorStream(pair.Key, pair.Value, options))];
        if (_streams.Length == 0 || _streams.Select(stream => stream.Site).Distinct().Count() < _streams.Length)
        {
            var found = string.Join(", ", _streams.Select(stream => $"{stream.Sensor} at {stream.Site.Name()}"));
            throw new ArgumentException(
                $"Sensors of {athlete}: found {(found.Length == 0 ? "none" : found)}; allowed: 1 to 3, each at a site of its own.",
                nameof(sensors));
        }

        foreach (var stream in _streams)
        {
            _bySensor.Add(stream.Sensor, stream);
        }

        _merge = new(athlete, _streams, options);
    }

    /// <summary>Whose pipeline it is.</summary>
    public AthleteId Athlete { get; }

    /// <summary>Messages by the outcome of reading them, over all sensors.</summary>
    public PacketFaultCounts Faults => _reader.Counts;

    /// <summary>Counts of one of the sensors.</summary>
    /// <exception cref="KeyNotFoundException">The athlete does not wear it.</exception>
    public SensorCounts Counts(SensorId sensor) => _bySensor[sensor].Tally.Counts;

    /// <summary>Takes a message of one of the athlete's sensors.</summary>
    /// <param name="sensor">Which, by its topic.</param>
    /// <param name="packet">The payload; not kept after the call.</param>
    /// <param name="receivedHall">When it arrived, hall clock.</param>
    /// <param name="output">Facts are added; outcome and verdict are those of this message.</param>
    public void Push(SensorId sensor, ReadOnlyMemory<byte> packet, SampleTime receivedHall, PipelineOutput output)
    {
        ArgumentNullException.ThrowIfNull(output);
        output.Verdict = default;
        if (!_bySensor.TryGetValue(sensor, out var stream))
        {
            output.Outcome = PacketOutcome.UnknownSensor;
            return;
        }

        var held = stream.Sequence.Rent();
        output.Verdict = _reader.TryRead(packet, held.Packet);
        output.Outcome = Take(stream, held, receivedHall, output);
        stream.Tally.Add(output.Outcome);
        if (output.Outcome == PacketOutcome.Accepted)
        {
            _merge.Drain(stream, giveUp: false, output);
            _merge.Release(output);
        }
    }

    /// <summary>End of the input: takes what is held, releases what waits, finishes open jumps.</summary>
    public void Complete(PipelineOutput output)
    {
        ArgumentNullException.ThrowIfNull(output);
        foreach (var stream in _streams)
        {
            _merge.Drain(stream, giveUp: true, output);
        }

        _merge.Finish(output);
    }

    /// <summary>The whole memory, copied: what follows after <see cref="Restore"/> is exactly what would have followed.</summary>
    public PipelineState Capture() => new()
    {
        Athlete = Athlete,
        Streams = [.. _streams.Select(stream => stream.Clone())],
        Faults = _reader.Counts.Capture(),
        Merge = _merge.Capture(),
    };

    /// <summary>Puts a copied memory back, into a pipeline made for the same athlete, sensors and options.</summary>
    /// <exception cref="ArgumentException">The state belongs to other sensors.</exception>
    public void Restore(PipelineState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        if (state.Athlete != Athlete || !Places(state.Streams).SequenceEqual(Places(_streams)))
        {
            throw new ArgumentException($"The state is of {state.Athlete}'s sensors; allowed: that of {Athlete}'s, at the same sites.", nameof(state));
        }

        for (var i = 0; i < _streams.Length; i++)
        {
            _streams[i].CopyFrom(state.Streams[i]);
        }

        _reader.Counts.Restore(state.Faults);
        _merge.Restore(state.Merge!);
    }

    private static IEnumerable<(SensorId, Site)> Places(SensorStream[] streams) => streams.Select(stream => (stream.Sensor, stream.Site));

    private PacketOutcome Take(SensorStream stream, HeldPacket held, SampleTime receivedHall, PipelineOutput output)
    {
        if (!output.Verdict.IsAccepted)
        {
            stream.Sequence.Return(held);
            return PacketOutcome.Rejected;
        }

        var header = held.Packet.Header;
        if (!SampleRate.IsSupported(header.IntervalNanoseconds))
        {
            stream.Sequence.Return(held);
            return PacketOutcome.UnsupportedRate;
        }

        held.ReceivedHall = receivedHall;
        if (stream.Sequence.Boot is null)
        {
            stream.StartBoot(header.Boot);
        }

        var outcome = stream.Sequence.Judge(held);
        var isAccepted = outcome == PacketOutcome.Accepted;
        if (isAccepted ? stream.Sequence.ConfirmsBoot(held) : stream.Sequence.IsLeftBehind(held))
        {
            _merge.Drain(stream, giveUp: true, output);
            stream.StartBoot(header.Boot);
            output.Sensors.Add(stream.Fact(SensorFactKind.Reboot, receivedHall));
            outcome = PacketOutcome.Accepted;
        }

        if (outcome == PacketOutcome.Accepted)
        {
            stream.Heard(receivedHall);
            stream.Sequence.Hold(held);
        }
        else
        {
            stream.Sequence.Return(held);
        }

        return outcome;
    }
}
