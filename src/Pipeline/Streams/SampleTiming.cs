namespace Saltograph.Pipeline.Streams;

/// <summary>
/// When each sample of a packet was taken, on the device clock. Packets in a row are one train of evenly spaced samples;
/// the stated time of a packet may be coarse (whole milliseconds) and the stated interval off by some per cent, so the
/// train is followed by an alpha-beta filter instead of starting over with every packet.
/// </summary>
/// <remarks>Kalata 1984 (tracking index) gives beta = alpha^2 / (2 - alpha) for a target that moves steadily.</remarks>
internal sealed class SampleTiming
{
    private const double Alpha = 0.2;
    private const double Beta = Alpha * Alpha / (2 - Alpha);
    private const double LowestRatio = 0.95;
    private const double HighestRatio = 1.05;
    private const double LeastStep = 0.75;
    private const double MostStep = 1.25;

    // A packet further from where the last one ended than a coarse clock and an interval wrong by 3 per cent explain
    // did not follow it: samples are missing between them although no packet is.
    private const double CoarseClockUs = 2500;
    private const double IntervalError = 0.03;
    private const double OtherInterval = 0.01;

    private bool _isStarted;
    private long _zeroUs;
    private double _last;
    private double _ratio = 1;
    private double _intervalUs;
    private int _lastCount;

    /// <summary>True interval over stated interval, as found so far.</summary>
    public double Ratio => _ratio;

    /// <summary>Whole part of the times, us.</summary>
    public long ZeroUs => _zeroUs;

    /// <summary>First sample of the packet placed last, us after <see cref="ZeroUs"/>.</summary>
    public double First { get; private set; }

    /// <summary>From sample to sample of the packet placed last, us.</summary>
    public double Step { get; private set; }

    /// <summary>Starts anew.</summary>
    public void Clear()
    {
        _isStarted = false;
        _ratio = 1;
    }

    /// <summary>Places the samples of a packet; false when they do not follow those of the packet before.</summary>
    /// <param name="firstSampleUs">Device clock at the first sample, us.</param>
    /// <param name="count">Samples in the packet.</param>
    /// <param name="intervalUs">Stated interval, us.</param>
    /// <param name="isNext">Whether no packet is missing before this one.</param>
    public bool Place(long firstSampleUs, int count, double intervalUs, bool isNext)
    {
        if (_isStarted && Math.Abs((intervalUs / _intervalUs) - 1) > OtherInterval)
        {
            _ratio = 1;
            isNext = false;
        }

        var wasStarted = _isStarted;
        var predicted = _last + (_ratio * intervalUs);
        var error = firstSampleUs - _zeroUs - predicted;
        var follows = wasStarted && isNext && Math.Abs(error) <= CoarseClockUs + (IntervalError * _lastCount * intervalUs);
        if (follows)
        {
            _ratio = Math.Clamp(_ratio + (Beta * error / (_lastCount * intervalUs)), LowestRatio, HighestRatio);
            Step = Math.Clamp((_ratio * intervalUs) + (Alpha * error / count), LeastStep * intervalUs, MostStep * intervalUs);
            First = _last + Step;
        }
        else
        {
            _zeroUs = firstSampleUs;
            First = 0;
            Step = _ratio * intervalUs;
        }

        _isStarted = true;
        _intervalUs = intervalUs;
        _lastCount = count;
        _last = First + ((count - 1) * Step);
        return follows || !wasStarted;
    }

    public void CopyFrom(SampleTiming other)
    {
        (_isStarted, _zeroUs, _last, _ratio, _intervalUs, _lastCount) =
            (other._isStarted, other._zeroUs, other._last, other._ratio, other._intervalUs, other._lastCount);
        First = other.First;
        Step = other.Step;
    }
}
