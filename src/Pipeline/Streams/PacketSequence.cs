using Saltograph.Imu;

namespace Saltograph.Pipeline.Streams;

/// <summary>
/// Puts the packets of one sensor into the order in which they were made: drops what comes twice, waits a while for what
/// is missing, gives it up after that.
/// </summary>
internal sealed class PacketSequence
{
    // A sensor that restarts this often within a session has other troubles.
    private const int RememberedBoots = 16;

    private const int LeftBehindCount = 8;
    private const long LeftBehindUs = 5_000_000;

    // Missing packets held at least one sample each, so they took time; a coarse clock may hide this much of it.
    private const long CoarseClockUs = 5000;

    private readonly long _windowUs;
    private readonly SequenceWindow _window = new();
    private readonly HeldPackets _held = new();
    private readonly List<BootId> _oldBoots = new(RememberedBoots);
    private long _lastSampleUs;
    private HeldPacket? _newBoot;
    private int _refusedCount;
    private long _refusedFromUs;
    private long _refusedFromDeviceUs;

    // Until the first packets have come together nobody knows which one is the first.
    private bool _isSettling;

    public PacketSequence(double windowS) => _windowUs = (long)Math.Round(windowS * 1e6);

    public BootId? Boot { get; private set; }

    public bool HasHeld => _held.Count > 0;

    public HeldPacket Rent() => _held.Rent();

    public void Return(HeldPacket packet) => _held.Return(packet);

    /// <summary>
    /// What is to become of a packet: accepted, or why not. A first packet of another power-up is accepted and set aside.
    /// </summary>
    public PacketOutcome Judge(HeldPacket packet)
    {
        if (IsOtherBoot(packet))
        {
            return _newBoot is { } first && first.Packet.Header.Boot == packet.Packet.Header.Boot && first.Sequence == packet.Sequence
                ? PacketOutcome.Duplicate
                : PacketOutcome.Accepted;
        }

        if (packet.Packet.Header.Boot != Boot)
        {
            return PacketOutcome.StaleBoot;
        }

        if (_isSettling)
        {
            return _held.Contains(packet.Sequence) ? PacketOutcome.Duplicate : PacketOutcome.Accepted;
        }

        var ahead = _window.Ahead(packet.Sequence);
        return ahead < 0 ? _window.WasDelivered(packet.Sequence) ? PacketOutcome.Duplicate : PacketOutcome.Late
            : !HasRoomFor(ahead, packet) ? PacketOutcome.Contradictory
            : _held.Contains(packet.Sequence) ? PacketOutcome.Duplicate
            : PacketOutcome.Accepted;
    }

    /// <summary>
    /// Whether an accepted packet belongs to another power-up and is the second of it: only then the power-up is believed,
    /// so that one packet with a damaged number does not end a stream.
    /// </summary>
    public bool ConfirmsBoot(HeldPacket packet) =>
        IsOtherBoot(packet) && _newBoot is { } first && first.Packet.Header.Boot == packet.Packet.Header.Boot;

    /// <summary>
    /// Whether a packet that was not accepted is one of many that come at the pace of time itself while nothing else does:
    /// the sensor began anew under a name that was used before, and the numbers of before hold no longer.
    /// </summary>
    public bool IsLeftBehind(HeldPacket packet)
    {
        var receivedUs = packet.ReceivedHall.Microseconds;
        if (_refusedCount++ == 0)
        {
            (_refusedFromUs, _refusedFromDeviceUs) = (receivedUs, packet.LastSampleUs);
        }

        var arrivedUs = receivedUs - _refusedFromUs;
        var passedUs = packet.LastSampleUs - _refusedFromDeviceUs;
        return _refusedCount >= LeftBehindCount && arrivedUs >= LeftBehindUs && passedUs >= arrivedUs / 2 && passedUs <= 2 * arrivedUs;
    }

    /// <summary>Starts with another power-up; what is held of the one before must have been taken out.</summary>
    public void StartBoot(BootId boot)
    {
        if (Boot is { } old && old != boot)
        {
            if (_oldBoots.Count == RememberedBoots)
            {
                _oldBoots.RemoveAt(0);
            }

            _oldBoots.Add(old);
        }

        _oldBoots.Remove(boot);
        _held.Clear();
        Boot = boot;
        _isSettling = true;
        if (_newBoot is { } first)
        {
            _newBoot = null;
            if (first.Packet.Header.Boot == boot)
            {
                _held.Hold(first);
            }
            else
            {
                _held.Return(first);
            }
        }
    }

    /// <summary>Keeps an accepted packet until its turn.</summary>
    public void Hold(HeldPacket packet)
    {
        _refusedCount = 0;
        if (!IsOtherBoot(packet))
        {
            _held.Hold(packet);
            return;
        }

        if (_newBoot is { } other)
        {
            _held.Return(other);
        }

        _newBoot = packet;
    }

    /// <summary>Hands out the packet that is due, or the next one after giving up those before it; the caller gives the buffer back.</summary>
    /// <param name="giveUp">Whether to wait no longer for what is missing.</param>
    /// <param name="packet">The packet.</param>
    /// <param name="lost">Packets given up before it.</param>
    public bool TryTake(bool giveUp, out HeldPacket packet, out uint lost)
    {
        packet = null!;
        lost = 0;
        if (_held.Count == 0)
        {
            return false;
        }

        var first = _held.First;
        if (_isSettling)
        {
            if (!giveUp && !_held.IsFull && first.Sequence != 0 && _held.LatestSampleUs - first.LastSampleUs <= _windowUs)
            {
                return false;
            }

            _isSettling = false;
            _window.Start(first.Sequence);
        }

        var ahead = _window.Ahead(first.Sequence);
        if (ahead > 0)
        {
            if (!giveUp && !_held.IsFull && _held.LatestSampleUs - first.LastSampleUs <= _windowUs)
            {
                return false;
            }

            lost = (uint)ahead;
            _window.SkipTo(first.Sequence);
        }

        packet = _held.TakeFirst();
        _window.Deliver();
        _lastSampleUs = packet.LastSampleUs;
        return true;
    }

    public void CopyFrom(PacketSequence other)
    {
        _window.CopyFrom(other._window);
        _held.CopyFrom(other._held);
        _oldBoots.Clear();
        _oldBoots.AddRange(other._oldBoots);
        Boot = other.Boot;
        (_lastSampleUs, _isSettling) = (other._lastSampleUs, other._isSettling);
        (_refusedCount, _refusedFromUs, _refusedFromDeviceUs) = (other._refusedCount, other._refusedFromUs, other._refusedFromDeviceUs);
        _newBoot = null;
        if (other._newBoot is { } first)
        {
            _newBoot = Rent();
            _newBoot.CopyFrom(first);
        }
    }

    private bool IsOtherBoot(HeldPacket packet) =>
        Boot is { } current && current != packet.Packet.Header.Boot && !_oldBoots.Contains(packet.Packet.Header.Boot);

    private bool HasRoomFor(int missing, HeldPacket packet) =>
        missing * (packet.Packet.Header.IntervalNanoseconds * 1e-3) <= packet.FirstSampleUs - _lastSampleUs + CoarseClockUs
        || packet.FirstSampleUs < _lastSampleUs; // a clock that was set says nothing
}
