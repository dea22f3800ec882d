using Saltograph.Imu;

namespace Saltograph.Service.Ingest;

/// <summary>How the handing over of a packet ended.</summary>
internal enum PacketFate
{
    /// <summary>It is in the measuring; the sender may forget it.</summary>
    Taken,

    /// <summary>Its sensor is on nobody; counted, and the sender may forget it.</summary>
    UnknownSensor,

    /// <summary>Too many packets wait for its athlete. The embedded broker tells the sender, who may send it again; at an external broker it is lost, so the rules hold the receive maximum within the queue.</summary>
    QueueFull,

    /// <summary>The service stops; the sender or the broker keeps it.</summary>
    Stopping,
}

/// <summary>One packet as it came, and its acknowledgement.</summary>
/// <param name="sensor">Who sent it, from its topic.</param>
/// <param name="bytes">The packet; owned by this object.</param>
/// <param name="receivedHall">When it came, hall clock.</param>
internal sealed class IncomingPacket(SensorId sensor, ReadOnlyMemory<byte> bytes, SampleTime receivedHall)
{
    // The waiting side is a broker's read loop: it must not run inside the measuring.
    private readonly TaskCompletionSource<PacketFate> _fate = new(TaskCreationOptions.RunContinuationsAsynchronously);

    /// <summary>Who sent it.</summary>
    public SensorId Sensor { get; } = sensor;

    /// <summary>The packet.</summary>
    public ReadOnlyMemory<byte> Bytes { get; } = bytes;

    /// <summary>When it came, hall clock.</summary>
    public SampleTime ReceivedHall { get; } = receivedHall;

    /// <summary>Whether it is no packet, but only begins the session of the one who wears the sensor.</summary>
    public bool IsWakeUp { get; private init; }

    /// <summary>Begins a session without a packet.</summary>
    public static IncomingPacket WakeUp(SensorId sensor, SampleTime now) => new(sensor, default, now) { IsWakeUp = true };

    /// <summary>Ends when somebody has decided on the packet.</summary>
    public Task<PacketFate> Fate => _fate.Task;

    /// <summary>Acknowledges: the packet is taken.</summary>
    public void Take() => _fate.TrySetResult(PacketFate.Taken);

    /// <summary>Does not take the packet.</summary>
    public void Refuse(PacketFate why) => _fate.TrySetResult(why);
}
