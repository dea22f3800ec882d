namespace Saltograph.Pipeline.Clock;

/// <summary>A straight line y = intercept + slope x.</summary>
/// <param name="Slope">dy/dx.</param>
/// <param name="Intercept">y at x = 0.</param>
internal readonly record struct HullLine(double Slope, double Intercept);

/// <summary>
/// Lower convex hull of points that come with growing x. With x the time at which something was sent on one clock and y
/// the time at which it was received on another, less x, the delay lifts every point above the true line and never
/// pushes one below: the line that carries the hull is the clock without the delays.
/// </summary>
/// <remarks>
/// Source: Zhang, Liu, Xia, Clock synchronization algorithms for network measurements, INFOCOM 2002 (hull edge over the
/// mean of x); the monotone chain is Andrew 1979. Differences: the memory is bounded. The oldest points can be dropped,
/// then those that they had hidden stay hidden, which makes the left end of the hull coarser and nothing else.
/// </remarks>
internal sealed class LowerHull(int capacity)
{
    private readonly double[] _x = new double[capacity];
    private readonly double[] _y = new double[capacity];

    public int Count { get; private set; }

    public double FirstX => _x[0];

    public void Clear() => Count = 0;

    /// <summary>Adds a point; one that is not to the right of the last is ignored: it came late, so its delay was long.</summary>
    public void Add(double x, double y)
    {
        if (Count > 0 && !(x > _x[Count - 1]))
        {
            return;
        }

        // The last point is above or on the line from the one before it to the new one: not part of the lower hull.
        while (Count > 1 && Cross(Count - 2, Count - 1, x, y) <= 0)
        {
            Count--;
        }

        if (Count == _x.Length)
        {
            RemoveFirst(1);
        }

        _x[Count] = x;
        _y[Count] = y;
        Count++;
    }

    /// <summary>Forgets the points left of x, but never the last two.</summary>
    public void DropBefore(double x)
    {
        var drop = 0;
        while (drop < Count - 2 && _x[drop] < x)
        {
            drop++;
        }

        RemoveFirst(drop);
    }

    /// <summary>The edge that lies over a given x (the last or first edge when it lies outside); null below two points.</summary>
    public HullLine? EdgeOver(double x)
    {
        if (Count < 2)
        {
            return null;
        }

        var right = 1;
        while (right < Count - 1 && _x[right] < x)
        {
            right++;
        }

        var slope = (_y[right] - _y[right - 1]) / (_x[right] - _x[right - 1]);
        return new(slope, _y[right - 1] - (slope * _x[right - 1]));
    }

    /// <summary>The highest line of a given slope that no point lies below.</summary>
    public HullLine Support(double slope)
    {
        var intercept = double.PositiveInfinity;
        for (var i = 0; i < Count; i++)
        {
            intercept = Math.Min(intercept, _y[i] - (slope * _x[i]));
        }

        return new(slope, intercept);
    }

    public void CopyFrom(LowerHull other)
    {
        Count = other.Count;
        Array.Copy(other._x, _x, Count);
        Array.Copy(other._y, _y, Count);
    }

    private double Cross(int a, int b, double x, double y) =>
        ((_x[b] - _x[a]) * (y - _y[a])) - ((_y[b] - _y[a]) * (x - _x[a]));

    private void RemoveFirst(int count)
    {
        if (count > 0)
        {
            Count -= count;
            Array.Copy(_x, count, _x, 0, Count);
            Array.Copy(_y, count, _y, 0, Count);
        }
    }
}
