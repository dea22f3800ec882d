using System.Buffers;
using System.Reactive.Subjects;
using Saltograph.Imu;
using Saltograph.Wire;
using Saltograph.Wire.Clock;

namespace Saltograph.Service.Ingest;

/// <summary>What both brokers do with a message on a sensor's topic.</summary>
internal sealed class SensorInbox(HallId hall, TimeProvider time, ILogger<SensorInbox> log) : IDisposable
{
    private readonly Subject<IncomingPacket> _packets = new();
    private readonly Subject<(SensorId Sensor, SensorState State)> _states = new();
    private readonly Lock _oneAtATime = new();
    private bool _closed;

    /// <summary>The packets that came in.</summary>
    public IObservable<IncomingPacket> Packets => _packets;

    /// <summary>What sensors say of themselves: retained states come again after each connection to the broker.</summary>
    public IObservable<(SensorId Sensor, SensorState State)> States => _states;

    /// <summary>The hall's clock.</summary>
    public SampleTime Now => HallClock.Now(time);

    /// <summary>Whether a topic belongs to a sensor of this hall, and what it carries.</summary>
    public bool TryFind(string topic, out SensorId sensor, out SensorTopic kind) =>
        Topics.TryParseSensor(topic, out var foundHall, out sensor, out kind) && foundHall == hall;

    /// <summary>Hands a packet on; its fate follows later.</summary>
    /// <param name="sensor">Who sent it.</param>
    /// <param name="payload">The packet; copied.</param>
    public IncomingPacket Push(SensorId sensor, in ReadOnlySequence<byte> payload)
    {
        var packet = new IncomingPacket(sensor, payload.ToArray(), Now);
        Traces.Follow(packet);

        // Connections are read in parallel, observers are called one at a time.
        lock (_oneAtATime)
        {
            if (_closed)
            {
                packet.Refuse(PacketFate.Stopping);
            }
            else
            {
                _packets.OnNext(packet);
            }
        }

        return packet;
    }

    /// <summary>The answer to a time request; null when the message is none.</summary>
    /// <param name="sensor">Who asks.</param>
    /// <param name="payload">The request.</param>
    /// <param name="correlationData">Correlation data of the request, or null.</param>
    public OutgoingMessage? Answer(SensorId sensor, in ReadOnlySequence<byte> payload, byte[]? correlationData)
    {
        var received = Now;
        if (!ClockMessages.TryReadRequest(payload.ToArray(), out var deviceSent))
        {
            log.BadClockRequest(sensor, payload.Length);
            return null;
        }

        var answer = ClockMessages.WriteAnswer(deviceSent, received.Microseconds, Now.Microseconds);
        return new(
            Topics.Of(hall, sensor, SensorTopic.ClockAnswer),
            answer,
            PacketFormatContentType,
            Topics.QualityOfService(SensorTopic.ClockAnswer),
            Topics.IsRetained(SensorTopic.ClockAnswer),
            correlationData);
    }

    /// <summary>Notes a sensor's state.</summary>
    public void Note(SensorId sensor, in ReadOnlySequence<byte> payload)
    {
        if (payload.IsEmpty)
        {
            return; // an empty retained message clears the state (MQTT 5 section 3.3.1.3)
        }

        if (SensorState.TryRead(payload.ToArray(), out var state) is { } fault)
        {
            log.BadSensorState(sensor, fault);
        }
        else
        {
            log.SensorStateChanged(sensor, state!.Online, state.BatteryPercent);
            lock (_oneAtATime)
            {
                if (!_closed)
                {
                    _states.OnNext((sensor, state));
                }
            }
        }
    }

    /// <summary>Ends the packets.</summary>
    public void Close()
    {
        lock (_oneAtATime)
        {
            if (!_closed)
            {
                _closed = true;
                _packets.OnCompleted();
                _states.OnCompleted();
            }
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _packets.Dispose();
        _states.Dispose();
    }

    private const string PacketFormatContentType = Saltograph.Wire.Packets.PacketFormat.ContentType;
}
