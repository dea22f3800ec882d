namespace Saltograph.Pipeline.Clock;

/// <summary>
/// Hall clock minus device clock from one-way delays only: the lower hull over the last minutes. Contains the least
/// delay of the way, which no one-way method can tell from an offset.
/// </summary>
internal sealed class OneWayOffset
{
    // Five to six minutes: with 17 packets per second and delays of 10 ms on average the least delay within a minute is
    // about 10 us, so the slope is known to a fraction of a ppm, while a crystal that warms up changes its rate by some.
    private const int Segments = 6;
    private const double SegmentUs = 60e6;
    private const int HullCapacity = 128;

    // Below this span the edge is steeper from its delays than any crystal: then the slope is taken as 0.
    private const double SlopeSpanUs = 30e6;
    private const double SteepestSlope = 100e-6;

    // A falling estimate means that shorter delays are still turning up, as when a backlog is being worked off.
    private const double FallUs = 1000;
    private const double StableAfterUs = 1e6;
    private const double GoodSpanUs = 10e6;
    private const int GoodCount = 50;

    private readonly LowerHull _hull = new(HullCapacity);
    private readonly double[] _segmentStart = new double[Segments];
    private readonly double[] _segmentSum = new double[Segments];
    private readonly long[] _segmentCount = new long[Segments];
    private int _newest = -1;
    private double _lastX;
    private double _lowest;
    private double _lastFallX;
    private long _count;

    public bool HasEstimate => _count > 0;

    /// <summary>Whether no shorter delay has turned up for a second.</summary>
    public bool IsStable => _count > 1 && _lastX - _lastFallX >= StableAfterUs;

    /// <summary>Whether enough was seen to trust it to about a millisecond.</summary>
    public bool IsGood => IsStable && _count >= GoodCount && _lastX - _hull.FirstX >= GoodSpanUs;

    public void Clear()
    {
        _hull.Clear();
        _newest = -1;
        _count = 0;
    }

    /// <summary>Adds a packet.</summary>
    /// <param name="x">Device clock at its last sample, us, from any zero.</param>
    /// <param name="y">Hall clock at its arrival less device clock, us, from any zero.</param>
    public void Add(double x, double y)
    {
        if (_count > 0 && !(x > _lastX))
        {
            return;
        }

        if (_newest < 0 || x - _segmentStart[_newest] >= SegmentUs)
        {
            StartSegment(x);
        }

        _segmentSum[_newest] += x;
        _segmentCount[_newest]++;
        _hull.Add(x, y);
        _lastX = x;
        _count++;
        var now = At(x);
        if (_count == 1 || now < _lowest - FallUs)
        {
            _lowest = now;
            _lastFallX = x;
        }

        _lowest = Math.Max(_lowest, now - FallUs); // forget slowly: an estimate that rises may fall again by as much
    }

    /// <summary>The line at the moment.</summary>
    public HullLine Line()
    {
        // A slope that no crystal has comes from the delays: then the least delay alone decides.
        var edge = _lastX - _hull.FirstX >= SlopeSpanUs ? _hull.EdgeOver(MeanX()) : null;
        return edge is { Slope: >= -SteepestSlope and <= SteepestSlope } line ? line : _hull.Support(0);
    }

    /// <summary>Offset at a time of the device clock, us.</summary>
    public double At(double x)
    {
        var line = Line();
        return line.Intercept + (line.Slope * x);
    }

    public void CopyFrom(OneWayOffset other)
    {
        _hull.CopyFrom(other._hull);
        other._segmentStart.CopyTo(_segmentStart, 0);
        other._segmentSum.CopyTo(_segmentSum, 0);
        other._segmentCount.CopyTo(_segmentCount, 0);
        (_newest, _lastX, _lowest, _lastFallX, _count) = (other._newest, other._lastX, other._lowest, other._lastFallX, other._count);
    }

    private void StartSegment(double x)
    {
        if (_newest + 1 < Segments)
        {
            _newest++;
        }
        else
        {
            Array.Copy(_segmentStart, 1, _segmentStart, 0, Segments - 1);
            Array.Copy(_segmentSum, 1, _segmentSum, 0, Segments - 1);
            Array.Copy(_segmentCount, 1, _segmentCount, 0, Segments - 1);
            _hull.DropBefore(_segmentStart[0]);
        }

        _segmentStart[_newest] = x;
        _segmentSum[_newest] = 0;
        _segmentCount[_newest] = 0;
    }

    private double MeanX()
    {
        double sum = 0;
        long count = 0;
        for (var i = 0; i <= _newest; i++)
        {
            sum += _segmentSum[i];
            count += _segmentCount[i];
        }

        return sum / count;
    }
}
