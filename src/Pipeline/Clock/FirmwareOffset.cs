namespace Saltograph.Pipeline.Clock;

/// <summary>
/// Hall clock minus device clock as the firmware states it in its packets, smoothed: its errors lie on both sides (half
/// the difference of the ways there and back), so this is a least-squares line that forgets with a time constant.
/// </summary>
internal sealed class FirmwareOffset
{
    private const double TimeConstantUs = 60e6;
    private const double SlopeSpanUs = 20e6;
    private const double SteepestSlope = 100e-6;

    // A statement this far from the line is an outlier, unless the next ones say the same: then the clock was set.
    private const double StepUs = 50_000;
    private const int StepConfirmations = 3;

    private const double StaleAfterUs = 60e6;

    private bool _isStarted;
    private double _firstX;
    private double _lastX;
    private double _weight;
    private double _sumX;
    private double _sumXX;
    private double _sumY;
    private double _sumXY;
    private int _contradictions;

    /// <summary>Whether the firmware said something within the last minute of its own time.</summary>
    public bool HasEstimate(double x) => _isStarted && x - _lastX <= StaleAfterUs;

    public void Clear() => _isStarted = false;

    /// <summary>Adds a statement; x grows from one to the next, both in us from any zero.</summary>
    public void Add(double x, double y)
    {
        if (_isStarted && Math.Abs(y - At(x)) > StepUs && ++_contradictions < StepConfirmations)
        {
            return;
        }

        if (!_isStarted || _contradictions >= StepConfirmations || x - _lastX > StaleAfterUs)
        {
            (_isStarted, _firstX, _lastX, _weight, _sumX, _sumXX, _sumY, _sumXY) = (true, x, x, 0, 0, 0, 0, 0);
        }

        _contradictions = 0;
        ShiftTo(x);
        _weight += 1;
        _sumY += y;
    }

    /// <summary>Offset at a time of the device clock, us.</summary>
    public double At(double x)
    {
        var meanX = _sumX / _weight; // relative to _lastX
        var meanY = _sumY / _weight;
        var slope = 0.0;
        if (_lastX - _firstX >= SlopeSpanUs)
        {
            var spread = _sumXX - (_sumX * meanX);
            slope = Math.Clamp((_sumXY - (_sumX * meanY)) / spread, -SteepestSlope, SteepestSlope);
        }

        return meanY + (slope * (x - _lastX - meanX));
    }

    public void CopyFrom(FirmwareOffset other) =>
        (_isStarted, _firstX, _lastX, _weight, _sumX, _sumXX, _sumY, _sumXY, _contradictions) =
        (other._isStarted, other._firstX, other._lastX, other._weight, other._sumX, other._sumXX, other._sumY, other._sumXY, other._contradictions);

    // Sums are kept about the newest x: then they stay small however long the clock runs.
    private void ShiftTo(double x)
    {
        var step = x - _lastX;
        var decay = Math.Exp(-step / TimeConstantUs);
        _sumXX = decay * (_sumXX - (2 * step * _sumX) + (step * step * _weight));
        _sumXY = decay * (_sumXY - (step * _sumY));
        _sumX = decay * (_sumX - (step * _weight));
        _sumY *= decay;
        _weight *= decay;
        _lastX = x;
    }
}
