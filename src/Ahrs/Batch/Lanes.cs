using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Saltograph.Ahrs;

/// <summary>Several doubles side by side, one per sensor. Comparisons give masks: all bits of a lane set, or none.</summary>
internal interface ILanes<T>
    where T : struct, ILanes<T>
{
    static abstract int Width { get; }

    static abstract T Broadcast(double value);

    static abstract T Load(ReadOnlySpan<double> values);

    static abstract T operator +(T a, T b);

    static abstract T operator -(T a, T b);

    static abstract T operator *(T a, T b);

    static abstract T operator /(T a, T b);

    static abstract T Sqrt(T a);

    static abstract T Abs(T a);

    static abstract T Clamp(T a, T low, T high);

    static abstract (T Sine, T Cosine) SinCos(T a);

    static abstract T Less(T a, T b);

    static abstract T And(T a, T b);

    static abstract T Or(T a, T b);

    static abstract T Select(T mask, T ifSet, T ifNot);

    static abstract bool All(T mask);

    static abstract bool Any(T mask);

    double this[int lane] { get; }
}

/// <summary>Four lanes, 256 bits.</summary>
internal readonly struct Lanes4(Vector256<double> v) : ILanes<Lanes4>
{
    private readonly Vector256<double> _v = v;

    public static int Width => 4;

    public double this[int lane] => _v[lane];

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Broadcast(double value) => new(Vector256.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Load(ReadOnlySpan<double> values) => new(Vector256.Create(values));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 operator +(Lanes4 a, Lanes4 b) => new(a._v + b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 operator -(Lanes4 a, Lanes4 b) => new(a._v - b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 operator *(Lanes4 a, Lanes4 b) => new(a._v * b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 operator /(Lanes4 a, Lanes4 b) => new(a._v / b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Sqrt(Lanes4 a) => new(Vector256.Sqrt(a._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Abs(Lanes4 a) => new(Vector256.Abs(a._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Clamp(Lanes4 a, Lanes4 low, Lanes4 high) =>
        new(Vector256.MinNative(Vector256.MaxNative(a._v, low._v), high._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Lanes4 Sine, Lanes4 Cosine) SinCos(Lanes4 a)
    {
        var (sine, cosine) = Vector256.SinCos(a._v);
        return (new(sine), new(cosine));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Less(Lanes4 a, Lanes4 b) => new(Vector256.LessThan(a._v, b._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 And(Lanes4 a, Lanes4 b) => new(a._v & b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Or(Lanes4 a, Lanes4 b) => new(a._v | b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes4 Select(Lanes4 mask, Lanes4 ifSet, Lanes4 ifNot) =>
        new(Vector256.ConditionalSelect(mask._v, ifSet._v, ifNot._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool All(Lanes4 mask) => mask._v.ExtractMostSignificantBits() == 0xF;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool Any(Lanes4 mask) => mask._v.ExtractMostSignificantBits() != 0;
}

/// <summary>Eight lanes, 512 bits.</summary>
internal readonly struct Lanes8(Vector512<double> v) : ILanes<Lanes8>
{
    private readonly Vector512<double> _v = v;

    public static int Width => 8;

    public double this[int lane] => _v[lane];

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Broadcast(double value) => new(Vector512.Create(value));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Load(ReadOnlySpan<double> values) => new(Vector512.Create(values));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 operator +(Lanes8 a, Lanes8 b) => new(a._v + b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 operator -(Lanes8 a, Lanes8 b) => new(a._v - b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 operator *(Lanes8 a, Lanes8 b) => new(a._v * b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 operator /(Lanes8 a, Lanes8 b) => new(a._v / b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Sqrt(Lanes8 a) => new(Vector512.Sqrt(a._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Abs(Lanes8 a) => new(Vector512.Abs(a._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Clamp(Lanes8 a, Lanes8 low, Lanes8 high) =>
        new(Vector512.MinNative(Vector512.MaxNative(a._v, low._v), high._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Lanes8 Sine, Lanes8 Cosine) SinCos(Lanes8 a)
    {
        var (sine, cosine) = Vector512.SinCos(a._v);
        return (new(sine), new(cosine));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Less(Lanes8 a, Lanes8 b) => new(Vector512.LessThan(a._v, b._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 And(Lanes8 a, Lanes8 b) => new(a._v & b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Or(Lanes8 a, Lanes8 b) => new(a._v | b._v);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Lanes8 Select(Lanes8 mask, Lanes8 ifSet, Lanes8 ifNot) =>
        new(Vector512.ConditionalSelect(mask._v, ifSet._v, ifNot._v));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool All(Lanes8 mask) => mask._v.ExtractMostSignificantBits() == 0xFF;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool Any(Lanes8 mask) => mask._v.ExtractMostSignificantBits() != 0;
}
