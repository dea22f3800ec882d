using Saltograph.Imu;
using Saltograph.Pipeline.Clock;
using Saltograph.Wire.Packets;

namespace Saltograph.Pipeline.Streams;

/// <summary>One sensor: its packets in order, its clock, and its samples on the hall clock that wait for their turn.</summary>
internal sealed class SensorStream(SensorId sensor, Site site, PipelineOptions options)
{
    /// <summary>Times that would go back by less than this are squeezed together instead, us.</summary>
    private const long SqueezedUs = 50_000;

    // A device clock that goes back by a second, or ahead of the hall clock by an hour from one packet to the next, was set.
    private const long SetBackUs = 1_000_000;
    private const long SetAheadUs = 3_600_000_000;

    // 512 samples, the most of a packet, at 104 Hz. A damaged interval must not hold the others up for minutes.
    private const double LongestPacketS = 5;

    // A charge that wavers by a per cent or two about a value is told once.
    private const int HigherPercent = 3;

    private readonly SampleTiming _timing = new();
    private readonly DeviceClock _clock = new(options);
    private readonly SampleRate _rate = new();
    private long _lastDeviceUs;
    private SampleTime _lastReceived;
    private bool _isPlaced;
    private bool _isAfterGap;
    private bool _mustTellRate;
    private double _newRateHz;
    private int? _toldBatteryPercent;

    public SensorId Sensor => sensor;

    public Site Site => site;

    public PacketSequence Sequence { get; } = new(options.ReorderWindowS);

    public SampleQueue Queue { get; } = new();

    /// <summary>Hall time of the last sample; null before the first.</summary>
    public SampleTime? LastHall { get; private set; }

    /// <summary>Since when the clock is known; null while it is not.</summary>
    public SampleTime? SynchronisedSince { get; private set; }

    /// <summary>Since when the others go on without it; null while they do not.</summary>
    public SampleTime? SilentSince { get; set; }

    public bool IsSilent => SilentSince is not null;

    /// <summary>When anything of it arrived last, hall clock; null before.</summary>
    public SampleTime? LastArrival { get; private set; }

    /// <summary>How long its samples are waited for, in data, s: a whole packet of its own comes at once, and the first sample of it may not be late for that.</summary>
    public double WaitS { get; private set; } = options.LongestWaitS;

    /// <summary>How far its clock leads the arrivals in a replay, us.</summary>
    public double LeadUs => _clock.LeadUs;

    /// <summary>First sample dropped because it came after its turn that no fact tells of; null when none waits to be told.</summary>
    public SampleTime? OvertakenSince { get; set; }

    /// <summary>Samples dropped for that reason since then.</summary>
    public long OvertakenCount { get; set; }

    /// <summary>Whether the last sample was dropped for that reason.</summary>
    public bool IsOvertaken { get; set; }

    /// <summary>A sample rate that such a sample should have told, Hz; 0 when none.</summary>
    public double PendingRateHz { get; set; }

    public SensorTally Tally { get; } = new();

    /// <summary>Notes that a packet of it arrived, in whatever order.</summary>
    public void Heard(SampleTime received) => LastArrival = LastArrival > received ? LastArrival : received;

    /// <summary>Another power-up: nothing of the one before holds.</summary>
    public void StartBoot(BootId boot)
    {
        Sequence.StartBoot(boot);
        _timing.Clear();
        _clock.Clear();
        _rate.Clear();
        _isPlaced = false;
        _isAfterGap = LastHall is not null;
        SynchronisedSince = null;
        _toldBatteryPercent = null;
        Tally.Boots++;
    }

    /// <summary>Who takes the samples begins anew: times may go back, and the rate has to be told again.</summary>
    public void StartMotion()
    {
        Queue.Clear();
        LastHall = null;
        (OvertakenSince, OvertakenCount, IsOvertaken) = (null, 0, false);
        PendingRateHz = 0;
        _mustTellRate = true;
    }

    /// <summary>
    /// Finds the times of the next packet in order. Returns true when they would go back by more than can be squeezed:
    /// then everything that waits has to leave, and <see cref="StartMotion"/> follows before <see cref="Append"/>.
    /// </summary>
    public bool Place(HeldPacket held, uint lost, double othersLeadUs, PipelineOutput output)
    {
        var header = held.Packet.Header;
        Tally.Lost += lost;
        WaitS = options.LongestWaitS + Math.Min(LongestPacketS, held.Packet.Count * header.IntervalNanoseconds * 1e-9);
        var wasSet = _isPlaced && WasSet(held);
        if (wasSet)
        {
            _timing.Clear();
            _clock.Clear();
            SynchronisedSince = null;
        }

        var follows = _timing.Place(held.FirstSampleUs, held.Packet.Count, header.IntervalNanoseconds * 1e-3, lost == 0);
        var change = _clock.Observe(header, held.LastSampleUs, held.ReceivedHall.Microseconds, othersLeadUs);
        (_lastDeviceUs, _lastReceived, _isPlaced) = (held.LastSampleUs, held.ReceivedHall, true);
        var first = Hall(0, held.Packet.Count);
        var last = LastHall;
        var goesBack = last is { } before && first.Microseconds < before.Microseconds - SqueezedUs;
        _isAfterGap |= last is not null && (lost > 0 || !follows || wasSet || change != ClockChange.None);
        var oldRateHz = _rate.Hz;
        _newRateHz = _rate.Changed(header.IntervalNanoseconds, _timing.Ratio, follows && lost == 0);
        if (oldRateHz > 0 && _newRateHz > 0)
        {
            output.Sensors.Add(Fact(SensorFactKind.RateChange, first, (long)Math.Round(_newRateHz)));
        }

        Report(output, first, lost, last is not null && !follows, wasSet, change);
        if (header.BatteryPercent is { } battery && !(battery >= _toldBatteryPercent && battery < _toldBatteryPercent + HigherPercent))
        {
            _toldBatteryPercent = battery;
            output.Sensors.Add(Fact(SensorFactKind.Battery, first, battery));
        }

        return goesBack;
    }

    /// <summary>Puts the samples of the packet that was placed last into the queue.</summary>
    public void Append(HeldPacket held)
    {
        var packet = held.Packet;
        if (_mustTellRate && _newRateHz == 0)
        {
            _newRateHz = _rate.Hz;
        }

        _mustTellRate = false;

        for (var i = 0; i < packet.Count; i++)
        {
            var time = Hall(i, packet.Count);
            if (LastHall is { } last && time <= last)
            {
                time = new(last.Microseconds + 1);
            }

            var marks = packet.Marks(i) | (_isAfterGap ? SampleMarks.AfterGap : SampleMarks.None);
            var sample = new ImuSample(time, packet.SpecificForceSensorMps2(i), packet.AngularRateSensorRadps(i), marks);
            Queue.Add(new(sample, packet.Header.DeviceMicroseconds(i), packet.Header.Boot, _newRateHz));
            LastHall = time;
            _isAfterGap = false;
            _newRateHz = 0;
        }

        Tally.Samples += packet.Count;
    }

    public SensorFact Fact(SensorFactKind kind, SampleTime hallTime, long count = 0, double? durationS = null) =>
        new(kind, sensor, site, Sequence.Boot, hallTime, count, durationS);

    public SensorStream Clone()
    {
        var copy = new SensorStream(sensor, site, options);
        copy.CopyFrom(this);
        return copy;
    }

    public void CopyFrom(SensorStream other)
    {
        _timing.CopyFrom(other._timing);
        _clock.CopyFrom(other._clock);
        _rate.CopyFrom(other._rate);
        Sequence.CopyFrom(other.Sequence);
        Queue.CopyFrom(other.Queue);
        Tally.CopyFrom(other.Tally);
        (_lastDeviceUs, _lastReceived, _isPlaced, _isAfterGap, _mustTellRate, _newRateHz) =
            (other._lastDeviceUs, other._lastReceived, other._isPlaced, other._isAfterGap, other._mustTellRate, other._newRateHz);
        (LastHall, LastArrival, SynchronisedSince, SilentSince, PendingRateHz, WaitS) =
            (other.LastHall, other.LastArrival, other.SynchronisedSince, other.SilentSince, other.PendingRateHz, other.WaitS);
        (OvertakenSince, OvertakenCount, IsOvertaken, _toldBatteryPercent) = (other.OvertakenSince, other.OvertakenCount, other.IsOvertaken, other._toldBatteryPercent);
    }

    private SampleTime Hall(int index, int count) =>
        new(_clock.HallUs(_timing.ZeroUs, _timing.First + (index * _timing.Step), (index + 1.0) / count));

    private bool WasSet(HeldPacket held)
    {
        var passedUs = held.FirstSampleUs - _lastDeviceUs;
        var arrivedUs = Math.Max(0, held.ReceivedHall.Microseconds - _lastReceived.Microseconds);
        return passedUs <= -SetBackUs || passedUs - arrivedUs > SetAheadUs;
    }

    private void Report(PipelineOutput output, SampleTime first, uint lost, bool isOwnGap, bool wasSet, ClockChange change)
    {
        if (wasSet)
        {
            output.Sensors.Add(Fact(SensorFactKind.ClockRestart, first));
        }
        else if (change != ClockChange.None)
        {
            output.Sensors.Add(Fact(SensorFactKind.ClockStep, first, durationS: _clock.LastStepS));
        }

        if (lost > 0 || (isOwnGap && !wasSet))
        {
            output.Sensors.Add(Fact(SensorFactKind.Gap, first, lost, LastHall is { } last ? first - last : null));
        }

        if (_clock.RefusedErrorS is { } errorS)
        {
            output.Sensors.Add(Fact(SensorFactKind.OffsetRefused, first, durationS: errorS));
        }

        if (!_clock.IsSynchronised)
        {
            SynchronisedSince = null;
        }
        else if (SynchronisedSince is null)
        {
            SynchronisedSince = first;
            output.Sensors.Add(Fact(SensorFactKind.ClockSynchronised, first));
        }
    }
}
