using System.Runtime.CompilerServices;

namespace Saltograph.Ahrs;

/// <summary>One vector per lane.</summary>
internal struct LaneVector<T>(T x, T y, T z)
    where T : struct, ILanes<T>
{
    public T X = x;
    public T Y = y;
    public T Z = z;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static LaneVector<T> operator -(LaneVector<T> a, LaneVector<T> b) => new(a.X - b.X, a.Y - b.Y, a.Z - b.Z);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static T Dot(LaneVector<T> a, LaneVector<T> b) => (a.X * b.X) + (a.Y * b.Y) + (a.Z * b.Z);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static LaneVector<T> Select(T mask, LaneVector<T> a, LaneVector<T> b) =>
        new(T.Select(mask, a.X, b.X), T.Select(mask, a.Y, b.Y), T.Select(mask, a.Z, b.Z));
}

/// <summary>One rotation per lane.</summary>
internal struct LaneRotation<T>(T w, T x, T y, T z)
    where T : struct, ILanes<T>
{
    public T W = w;
    public T X = x;
    public T Y = y;
    public T Z = z;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static LaneRotation<T> operator *(LaneRotation<T> a, LaneRotation<T> b) => new(
        (a.W * b.W) - (a.X * b.X) - (a.Y * b.Y) - (a.Z * b.Z),
        (a.W * b.X) + (a.X * b.W) + (a.Y * b.Z) - (a.Z * b.Y),
        (a.W * b.Y) - (a.X * b.Z) + (a.Y * b.W) + (a.Z * b.X),
        (a.W * b.Z) + (a.X * b.Y) - (a.Y * b.X) + (a.Z * b.W));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public readonly LaneVector<T> Rotate(LaneVector<T> v)
    {
        var two = T.Broadcast(2);
        var tx = two * ((Y * v.Z) - (Z * v.Y));
        var ty = two * ((Z * v.X) - (X * v.Z));
        var tz = two * ((X * v.Y) - (Y * v.X));
        return new(
            v.X + (W * tx) + (Y * tz) - (Z * ty),
            v.Y + (W * ty) + (Z * tx) - (X * tz),
            v.Z + (W * tz) + (X * ty) - (Y * tx));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public readonly LaneRotation<T> Normalized()
    {
        // One division of eight lanes costs as much as a dozen products.
        var scale = T.Broadcast(1) / T.Sqrt((W * W) + (X * X) + (Y * Y) + (Z * Z));
        return new(scale * W, scale * X, scale * Y, scale * Z);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static LaneRotation<T> Select(T mask, LaneRotation<T> a, LaneRotation<T> b) =>
        new(T.Select(mask, a.W, b.W), T.Select(mask, a.X, b.X), T.Select(mask, a.Y, b.Y), T.Select(mask, a.Z, b.Z));
}

/// <summary>Memory of one low pass per lane and channel, for channels that advance together.</summary>
internal sealed class LaneLowPass<T>(int channels)
    where T : struct, ILanes<T>
{
    private T[] _s1 = new T[channels];
    private T[] _s2 = new T[channels];
    private T _count;
    private T _started;
    private bool _allStarted;

    public LaneLowPass<T> Copy()
    {
        var copy = (LaneLowPass<T>)MemberwiseClone();
        copy._s1 = [.. _s1];
        copy._s2 = [.. _s2];
        return copy;
    }

    /// <summary>Filters all channels in place, in the lanes that are set.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void Step(in SettlingLowPass low, Span<T> channelValues, T active, bool allActive)
    {
        if (!_allStarted || !allActive)
        {
            StepMasked(low, channelValues, active);
            return;
        }

        var section = low.Section;
        var b0 = T.Broadcast(section.B0);
        var b1 = T.Broadcast(section.B1);
        var b2 = T.Broadcast(section.B2);
        var a1 = T.Broadcast(section.A1);
        var a2 = T.Broadcast(section.A2);
        var s1 = _s1.AsSpan(0, channelValues.Length);
        var s2 = _s2.AsSpan(0, channelValues.Length);
        for (var i = 0; i < channelValues.Length; i++)
        {
            var input = channelValues[i];
            var output = (b0 * input) + s1[i];
            s1[i] = (b1 * input) - (a1 * output) + s2[i];
            s2[i] = (b2 * input) - (a2 * output);
            channelValues[i] = output;
        }
    }

    /// <summary>While some lanes still take the running mean, or stand still.</summary>
    [MethodImpl(MethodImplOptions.NoInlining)]
    private void StepMasked(in SettlingLowPass low, Span<T> values, T active)
    {
        var section = low.Section;
        var b0 = T.Broadcast(section.B0);
        var one = T.Broadcast(1);
        var starting = T.Select(_started, T.Broadcast(0), active);
        var running = T.And(_started, active);
        _count += T.And(starting, one);
        var ends = T.And(starting, T.Select(T.Less(_count * T.Broadcast(low.IntervalS), T.Broadcast(low.TimeConstantS)), T.Broadcast(0), active));
        var count = T.Select(T.Less(_count, one), one, _count);
        for (var i = 0; i < values.Length; i++)
        {
            var input = values[i];
            var filtered = (b0 * input) + _s1[i];
            var sum = _s1[i] + input;
            var mean = sum / count;
            var next1 = (T.Broadcast(section.B1) * input) - (T.Broadcast(section.A1) * filtered) + _s2[i];
            var next2 = (T.Broadcast(section.B2) * input) - (T.Broadcast(section.A2) * filtered);
            var settled1 = mean * (one - b0);
            var settled2 = mean * (T.Broadcast(section.B2) - T.Broadcast(section.A2));
            _s1[i] = T.Select(running, next1, T.Select(ends, settled1, T.Select(starting, sum, _s1[i])));
            _s2[i] = T.Select(running, next2, T.Select(ends, settled2, _s2[i]));
            values[i] = T.Select(running, filtered, mean);
        }

        _started = T.Or(_started, ends);
        _allStarted = T.All(_started);
    }
}
