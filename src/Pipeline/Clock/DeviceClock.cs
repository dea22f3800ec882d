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
internal sealed class DeviceClock(PipelineOptions options)
{
    // An error up to this is worked off smoothly, a larger one at once when it is certain.
    private const double StepUs = 50_000;

    // Half a per cent makes a flight of 0.4 s wrong by 2 ms, only while the clock is being found and the result is
    // marked so; a known clock is corrected at a tenth of that.
    private const double FindingRate = 5000e-6;
    private const double FollowingRate = 500e-6;
    private const double FollowingErrorUs = 2000;

    // One damaged packet is not worth a report.
    private const int RefusalConfirmations = 3;

    private readonly OneWayOffset _oneWay = new();
    private readonly FirmwareOffset _firmware = new();
    private long _deviceZeroUs;
    private long _offsetZeroUs;
    private double _lastX;
    private double _before;
    private double _applied;
    private bool _isStarted;
    private long _lagBeforeUs;
    private int _refusedInARow;

    /// <summary>Whether times are good to about a millisecond (plus the least delay, when only arrivals are known).</summary>
    public bool IsSynchronised { get; private set; }

    /// <summary>Size of the step made last, s, positive ahead.</summary>
    public double LastStepS { get; private set; }

    /// <summary>
    /// How far after their arrival believed statements put samples, us, while packets come faster than they were made (a
    /// replay against the clock on the wall); 0 when arrivals keep pace.
    /// </summary>
    public double LeadUs { get; private set; }

    /// <summary>Error of the statement that the last packet confirmed to be wrong, s; null when there is nothing to tell.</summary>
    public double? RefusedErrorS { get; private set; }

    /// <summary>Starts anew: another power-up, or the device clock was set.</summary>
    public void Clear()
    {
        _isStarted = false;
        IsSynchronised = false;
        LeadUs = 0;
        RefusedErrorS = null;
        _refusedInARow = 0;
        _oneWay.Clear();
        _firmware.Clear();
    }

    /// <summary>Learns from a packet; afterwards <see cref="HallUs"/> holds for its samples.</summary>
    /// <param name="header">Header of the packet.</param>
    /// <param name="lastSampleUs">Device clock at its last sample.</param>
    /// <param name="receivedUs">Hall clock at its arrival.</param>
    /// <param name="othersLeadUs">The largest <see cref="LeadUs"/> of the athlete's other sensors.</param>
    public ClockChange Observe(in PacketHeader header, long lastSampleUs, long receivedUs, double othersLeadUs = 0)
    {
        if (!_isStarted)
        {
            _deviceZeroUs = lastSampleUs;
            _offsetZeroUs = _lagBeforeUs = receivedUs - lastSampleUs;
        }

        double x = lastSampleUs - _deviceZeroUs;
        _oneWay.Add(x, receivedUs - lastSampleUs - _offsetZeroUs);
        RefusedErrorS = null;
        if (header.HallMinusDeviceMicroseconds is { } stated)
        {
            Judge(stated, x, receivedUs - lastSampleUs, othersLeadUs);
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
        (_deviceZeroUs, _offsetZeroUs, _lagBeforeUs, _lastX, _before, _applied, _isStarted) =
            (other._deviceZeroUs, other._offsetZeroUs, other._lagBeforeUs, other._lastX, other._before, other._applied, other._isStarted);
        IsSynchronised = other.IsSynchronised;
        LastStepS = other.LastStepS;
        (LeadUs, RefusedErrorS, _refusedInARow) = (other.LeadUs, other.RefusedErrorS, other._refusedInARow);
    }

    private void Judge(long stated, double x, long lagUs, double othersLeadUs)
    {
        // What packets gain on their arrivals between two statements is the replay's, not the clock's. Once no shorter
        // delay turns up, arrivals keep pace and nothing can be ahead of them; a believed lead shows that they do not.
        var leadUs = (double)stated - lagUs;
        var keepPace = _oneWay.IsStable && LeadUs <= options.MostStatedAheadS * 1e6;
        var gainedUs = keepPace ? 0 : Math.Max(othersLeadUs, LeadUs + Math.Max(0, _lagBeforeUs - lagUs));
        _lagBeforeUs = lagUs;
        if (Error(stated, x, leadUs, gainedUs) is not { } errorUs)
        {
            _refusedInARow = 0;
            LeadUs = keepPace ? 0 : Math.Max(0, leadUs);
            _firmware.Add(x, stated - _offsetZeroUs);
            return;
        }

        if (++_refusedInARow == RefusalConfirmations)
        {
            RefusedErrorS = errorUs * 1e-6;
        }

        // What was believed before arrivals could contradict it goes too.
        if (_firmware.HasEstimate(x))
        {
            var line = _firmware.At(x) + _offsetZeroUs;
            if (Error(line, x, line - lagUs, gainedUs) is not null)
            {
                _firmware.Clear();
                IsSynchronised = false;
            }
        }
    }

    // How wrong a statement is, us; null when it can be true.
    private double? Error(double stated, double x, double leadUs, double gainedUs)
    {
        if (leadUs - gainedUs > options.MostStatedAheadS * 1e6)
        {
            return leadUs;
        }

        var behindUs = _oneWay.At(x) + _offsetZeroUs - stated;
        // Falling back restarts the line from arrivals: what was refused stays refused until it comes near.
        return (_oneWay.IsStable || _refusedInARow > 0) && behindUs > options.MostStatedBehindS * 1e6 ? -behindUs : null;
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
