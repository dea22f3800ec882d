using Saltograph.Imu;
using Saltograph.Wire.Packets;

namespace Saltograph.Pipeline.Streams;

/// <summary>A packet and when it arrived.</summary>
internal sealed class HeldPacket
{
    public PacketBuffer Packet { get; } = new();

    public SampleTime ReceivedHall { get; set; }

    public uint Sequence => Packet.Header.Sequence;

    public long FirstSampleUs => Packet.Header.FirstSampleDeviceMicroseconds;

    public long LastSampleUs => Packet.Header.DeviceMicroseconds(Packet.Count - 1);

    public void CopyFrom(HeldPacket other)
    {
        Packet.CopyFrom(other.Packet);
        ReceivedHall = other.ReceivedHall;
    }
}

/// <summary>Packets that came before their turn, in the order of their sequence numbers. Buffers are used again.</summary>
internal sealed class HeldPackets
{
    // At 416 Hz and 24 samples half a second is 9 packets; more than 64 are held only with packets shorter than 8 ms.
    private const int Most = 64;

    private readonly List<HeldPacket> _held = [];
    private readonly Stack<HeldPacket> _free = [];

    public int Count => _held.Count;

    public bool IsFull => _held.Count >= Most;

    public HeldPacket First => _held[0];

    /// <summary>Device clock at the latest sample held, us.</summary>
    public long LatestSampleUs
    {
        get
        {
            var latest = long.MinValue;
            foreach (var held in _held)
            {
                latest = Math.Max(latest, held.LastSampleUs);
            }

            return latest;
        }
    }

    /// <summary>A buffer to fill; afterwards either <see cref="Hold"/> or <see cref="Return"/> takes it.</summary>
    public HeldPacket Rent() => _free.TryPop(out var free) ? free : new();

    public void Return(HeldPacket packet) => _free.Push(packet);

    public bool Contains(uint sequence)
    {
        foreach (var held in _held)
        {
            if (held.Sequence == sequence)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Puts a packet in its place.</summary>
    public void Hold(HeldPacket packet)
    {
        var at = _held.Count;
        while (at > 0 && unchecked((int)(packet.Sequence - _held[at - 1].Sequence)) < 0)
        {
            at--;
        }

        _held.Insert(at, packet);
    }

    public HeldPacket TakeFirst()
    {
        var first = _held[0];
        _held.RemoveAt(0);
        return first;
    }

    public void Clear()
    {
        while (_held.Count > 0)
        {
            Return(TakeFirst());
        }
    }

    public void CopyFrom(HeldPackets other)
    {
        Clear();
        foreach (var packet in other._held)
        {
            var copy = Rent();
            copy.CopyFrom(packet);
            _held.Add(copy);
        }
    }
}
