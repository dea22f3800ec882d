using Saltograph.Wire.Packets;

namespace Saltograph.Pipeline.Clock;

/// <summary>What the clock of a sensor asks for after a packet.</summary>
internal enum ClockChange
{
    /// <summary>Nothing: the offset follows smoothly.</summary>
    None,

    /// <summary>The offset moved at once; times of this sensor leap ahead, samples look missing.</summary>
    SteppedAhead,

    /// <summary>The offset moved at once; times of this sensor go back, whoever keeps them has to begin anew.</summary>
    SteppedBack,
}

/// <summary>
/// Takes one sensor's device clock to the hall clock, for one power-up. The offset comes from the firmware when it
/// states one, else from the arrivals; it is applied smoothly, so that intervals between samples stay true.
/// </summary>
internal sealed class DeviceClock
{
    // An error up to this is worked off smoothly, a larger one at once when it is certain.
    private const double StepUs = 50_000;

    // Half a per cent makes a flight of 0.4 s wrong by 2 ms, only while the clock is being found and the result is
    // marked so; a known clock is corrected at a tenth of that.
    private const double FindingRate = 5000e-6;
    private const double FollowingRate = 500e-6;
    private const double FollowingErrorUs = 2000;

    // A statement that puts a packet a year away from its arrival is nonsense. Less may be a recording, or a simulation
    // that runs faster than the clock on the wall.
    private const double MostStatedErrorUs = 365.0 * 86400e6;

    private readonly OneWayOffset _oneWay = new();
    private readonly FirmwareOffset _firmware = new();
    private long _deviceZeroUs;
    private long _offsetZeroUs;
    private double _lastX;
    private double _before;
    private double _applied;
    private bool _isStarted;

    /// <summary>Whether times are good to about a millisecond (plus the least delay, when only arrivals are known).</summary>
    public bool IsSynchronised { get; private set; }

    /// <summary>Size of the step made last, s, positive ahead.</summary>
    public double LastStepS { get; private set; }

    /// <summary>Starts anew: another power-up, or the device clock was set.</summary>
    public void Clear()
    {
        _isStarted = false;
        IsSynchronised = false;
        _oneWay.Clear();
        _firmware.Clear();
    }

    /// <summary>Learns from a packet; afterwards <see cref="HallUs"/> holds for its samples.</summary>
    /// <param name="header">Header of the packet.</param>
    /// <param name="lastSampleUs">Device clock at its last sample.</param>
    /// <param name="receivedUs">Hall clock at its arrival.</param>
    public ClockChange Observe(in PacketHeader header, long lastSampleUs, long receivedUs)
    {
        if (!_isStarted)
        {
            _deviceZeroUs = lastSampleUs;
            _offsetZeroUs = receivedUs - lastSampleUs;
        }

        double x = lastSampleUs - _deviceZeroUs;
        _oneWay.Add(x, receivedUs - lastSampleUs - _offsetZeroUs);
        if (header.HallMinusDeviceMicroseconds is { } stated && Math.Abs(receivedUs - lastSampleUs - (double)stated) < MostStatedErrorUs)
        {
            _firmware.Add(x, stated - _offsetZeroUs);
        }

        var isStated = _firmware.HasEstimate(x);
        var target = isStated ? _firmware.At(x) : _oneWay.At(x);
        var change = Follow(target, x, isStated);
        IsSynchronised |= (isStated || _oneWay.IsGood) && Math.Abs(target - _applied) <= FollowingErrorUs;
        return change;
    }

    /// <summary>Hall clock, us since 1970, at a sample of the packet that was observed last.</summary>
    /// <param name="wholeUs">Device clock, whole part, us.</param>
    /// <param name="fractionUs">What is to be added, us; any size.</param>
    /// <param name="share">How far into the packet, 0 to 1: a correction is spread over its samples.</param>
    public long HallUs(long wholeUs, double fractionUs, double share) =>
        wholeUs + _offsetZeroUs + (long)Math.Round(fractionUs + _before + (share * (_applied - _before)));

    public void CopyFrom(DeviceClock other)
    {
        _oneWay.CopyFrom(other._oneWay);
        _firmware.CopyFrom(other._firmware);
        (_deviceZeroUs, _offsetZeroUs, _lastX, _before, _applied, _isStarted) =
            (other._deviceZeroUs, other._offsetZeroUs, other._lastX, other._before, other._applied, other._isStarted);
        IsSynchronised = other.IsSynchronised;
        LastStepS = other.LastStepS;
    }

    private ClockChange Follow(double target, double x, bool isStated)
    {
        var error = target - _applied;
        var elapsed = x - _lastX;
        _lastX = x;
        if (!_isStarted)
        {
            _isStarted = true;
            _before = _applied = target;
            return ClockChange.None;
        }

        if (Math.Abs(error) > StepUs && (isStated || _oneWay.IsStable))
        {
            _before = _applied = target;
            LastStepS = error * 1e-6;
            if (!isStated)
            {
                // What led to the wrong offset, a backlog or a clock that was set, must not bend the line from now on.
                _oneWay.Clear();
                _oneWay.Add(x, target);
            }

            return error > 0 ? ClockChange.SteppedAhead : ClockChange.SteppedBack;
        }

        var rate = IsSynchronised && Math.Abs(error) <= FollowingErrorUs ? FollowingRate : FindingRate;
        var most = rate * Math.Max(0, elapsed);
        _before = _applied;
        _applied += Math.Clamp(error, -most, most);
        return ClockChange.None;
    }
}
