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

    private readonly long _windowUs;
    private readonly SequenceWindow _window = new();
    private readonly HeldPackets _held = new();
    private readonly List<BootId> _oldBoots = new(RememberedBoots);
    private long _lastSampleUs;

    // Until the first packets have come together nobody knows which one is the first.
    private bool _isSettling;

    public PacketSequence(double windowS) => _windowUs = (long)Math.Round(windowS * 1e6);

    public BootId? Boot { get; private set; }

    public bool HasHeld => _held.Count > 0;

    public HeldPacket Rent() => _held.Rent();

    public void Return(HeldPacket packet) => _held.Return(packet);

    public bool IsOtherBoot(BootId boot) => Boot is { } current && current != boot && !_oldBoots.Contains(boot);

    /// <summary>Starts with another power-up; what is held of the one before must have been taken out.</summary>
    public void StartBoot(BootId boot)
    {
        if (Boot is { } old)
        {
            if (_oldBoots.Count == RememberedBoots)
            {
                _oldBoots.RemoveAt(0);
            }

            _oldBoots.Add(old);
        }

        _held.Clear();
        Boot = boot;
        _isSettling = true;
    }

    /// <summary>Takes a rented packet of the present or an old power-up; anything but accepted gives the buffer back at once.</summary>
    public PacketOutcome Offer(HeldPacket packet)
    {
        var outcome = packet.Packet.Header.Boot != Boot
            ? PacketOutcome.StaleBoot
            : !_isSettling && _window.Ahead(packet.Sequence) < 0
                ? _window.WasDelivered(packet.Sequence) ? PacketOutcome.Duplicate : PacketOutcome.Late
                : _held.TryHold(packet) ? PacketOutcome.Accepted : PacketOutcome.Duplicate;
        if (outcome != PacketOutcome.Accepted)
        {
            _held.Return(packet);
        }

        return outcome;
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
            if (!giveUp && !_held.IsFull && first.Sequence != 0 && _held.LatestSampleUs - first.FirstSampleUs <= _windowUs)
            {
                return false;
            }

            _isSettling = false;
            _window.Start(first.Sequence);
        }

        var ahead = _window.Ahead(first.Sequence);
        if (ahead > 0)
        {
            if (!giveUp && !_held.IsFull && _held.LatestSampleUs - _lastSampleUs <= _windowUs)
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
    }
}
