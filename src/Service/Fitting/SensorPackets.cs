using Saltograph.Imu;
using Saltograph.Service.Ingest;
using Saltograph.Wire.Packets;

namespace Saltograph.Service.Fitting;

/// <summary>Reads the packets of one sensor for a check: counts them and gives their samples on, on arrival times.</summary>
internal sealed class SensorPackets(SensorId sensor)
{
    private const int MostNumbers = 100_000; // more than an hour; a check takes half a minute

    private readonly PacketReader _reader = new();
    private readonly PacketBuffer _packet = new();
    private readonly HashSet<uint> _numbers = [];
    private BootId? _boot;
    private uint _first;
    private uint _last;
    private long _lostBefore;
    private int _receivedBefore;
    private long _offsetUs;
    private int? _batteryPercent;

    /// <summary>Which sensor.</summary>
    public SensorId Sensor => sensor;

    /// <summary>What its packets say.</summary>
    public FittingPackets Counts(bool? isInStep) => new(_receivedBefore + _numbers.Count, (int)(_lostBefore + LostNow), _batteryPercent, isInStep);

    private long LostNow => _numbers.Count == 0 ? 0 : (long)_last - _first + 1 - _numbers.Count;

    /// <summary>Takes a packet.</summary>
    public void Take(IncomingPacket packet, Site site, FittingCheck check)
    {
        if (!_reader.TryRead(packet.Bytes, _packet).IsAccepted)
        {
            return;
        }

        var header = _packet.Header;
        if (_boot != header.Boot || _numbers.Count >= MostNumbers)
        {
            (_lostBefore, _receivedBefore) = (_lostBefore + LostNow, _receivedBefore + _numbers.Count);
            _numbers.Clear();
            (_boot, _first, _last, _offsetUs) = (header.Boot, header.Sequence, header.Sequence, long.MaxValue);
        }

        if (!_numbers.Add(header.Sequence))
        {
            return;
        }

        (_first, _last) = (Math.Min(_first, header.Sequence), Math.Max(_last, header.Sequence));
        _batteryPercent = header.BatteryPercent ?? _batteryPercent;

        // The packet that came soonest after it was made tells the clock; some milliseconds do not matter here.
        _offsetUs = Math.Min(_offsetUs, packet.ReceivedHall.Microseconds - header.DeviceMicroseconds(_packet.Count - 1));
        for (var i = 0; i < _packet.Count; i++)
        {
            check.Push(site, new(new(header.DeviceMicroseconds(i) + _offsetUs), _packet.SpecificForceSensorMps2(i), _packet.AngularRateSensorRadps(i), _packet.Marks(i)));
        }
    }
}
