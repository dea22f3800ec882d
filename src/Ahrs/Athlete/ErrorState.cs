using System.Runtime.CompilerServices;

namespace Saltograph.Ahrs;

/// <summary>Where the ten errors of <see cref="AthleteFilter"/> stand in its vectors and matrices.</summary>
internal static class ErrorIndex
{
    /// <summary>Tilt about earth x and y, rad: true = exp(tilt) * estimate.</summary>
    public const int Tilt = 0;

    /// <summary>Gyroscope bias, sensor frame, rad/s.</summary>
    public const int Bias = 2;

    /// <summary>Gyroscope scale error per sensor axis: true rate = (1 - scale) (reading - bias).</summary>
    public const int Scale = 5;

    /// <summary>Velocity along earth x and y, m/s.</summary>
    public const int Velocity = 8;

    public const int Count = 10;
}

/// <summary>The ten errors.</summary>
[InlineArray(ErrorIndex.Count)]
internal struct ErrorVector
{
    private double _first;
}

/// <summary>Their covariance, row by row, both halves kept.</summary>
[InlineArray(ErrorIndex.Count * ErrorIndex.Count)]
internal struct ErrorMatrix
{
    private double _first;
}

/// <summary>Integrals over one step that carry the errors forward.</summary>
internal struct StepSums
{
    /// <summary>Integral of the first two rows of earthFromSensor, s.</summary>
    public double Xx, Xy, Xz, Yx, Yy, Yz;

    /// <summary>The same times the rate of each axis, rad.</summary>
    public double RateXx, RateXy, RateXz, RateYx, RateYy, RateYz;

    /// <summary>Integral of the vertical specific force, m/s.</summary>
    public double VerticalForce;

    /// <summary>Variance that the tilt gains, rad2, and the velocity, (m/s)2, on each axis.</summary>
    public double TiltVariance, VelocityVariance;

    public double TimeS;
}

/// <summary>The Kalman filter over the ten errors for one hypothesis about the motion.</summary>
internal struct ErrorState
{
    public ErrorVector Mean;
    public ErrorMatrix Covariance;

    private const int N = ErrorIndex.Count;

    public void Start(double tilt, double bias, double scale, double velocity)
    {
        this = default;
        Span<double> p = Covariance;
        for (var i = 0; i < N; i++)
        {
            var sigma = i < ErrorIndex.Bias ? tilt : i < ErrorIndex.Scale ? bias : i < ErrorIndex.Velocity ? scale : velocity;
            p[(i * N) + i] = sigma * sigma;
        }
    }

    /// <summary>
    /// One step: velocity' = velocity + tilt x force, tilt' = tilt - R bias - R diag(rate) scale, P' = F P F' + Q.
    /// </summary>
    public void Propagate(in StepSums sums, double biasVariance)
    {
        Span<double> x = Mean;
        Transition(x, 1, 0, sums);

        // F P F': the transition on every column, then on every row.
        Span<double> p = Covariance;
        for (var i = 0; i < N; i++)
        {
            Transition(p, N, i, sums);
        }

        for (var i = 0; i < N; i++)
        {
            Transition(p, 1, i * N, sums);
        }

        Add(p, ErrorIndex.Tilt, 2, sums.TiltVariance);
        Add(p, ErrorIndex.Bias, 3, biasVariance);
        Add(p, ErrorIndex.Velocity, 2, sums.VelocityVariance);
    }

    /// <summary>
    /// Takes the scalar measurement h0 x[i0] + h1 x[i1] = value +- sqrt(variance). Returns the logarithm of its likelihood
    /// (without the constant).
    /// </summary>
    public double Measure(int i0, double h0, int i1, double h1, double value, double variance)
    {
        Span<double> x = Mean;
        Span<double> p = Covariance;
        Span<double> ph = stackalloc double[N];
        var row0 = p.Slice(i0 * N, N);
        var row1 = p.Slice(i1 * N, N);
        for (var i = 0; i < N; i++)
        {
            ph[i] = (h0 * row0[i]) + (h1 * row1[i]);
        }

        var innovation = value - (h0 * x[i0]) - (h1 * x[i1]);
        var s = variance + (h0 * ph[i0]) + (h1 * ph[i1]);
        var inverse = 1 / s;
        for (var i = 0; i < N; i++)
        {
            var gain = ph[i] * inverse;
            x[i] += gain * innovation;
            var row = p.Slice(i * N, N);
            for (var j = 0; j < N; j++)
            {
                row[j] -= gain * ph[j];
            }
        }

        return -0.5 * ((innovation * innovation * inverse) + Math.Log(s));
    }

    /// <summary>F times the vector that starts at <paramref name="at"/> with the given stride, in place.</summary>
    internal static void Transition(Span<double> v, int stride, int at, in StepSums s)
    {
        var tiltX = v[at];
        var tiltY = v[at + stride];
        var bx = v[at + (2 * stride)];
        var by = v[at + (3 * stride)];
        var bz = v[at + (4 * stride)];
        var sx = v[at + (5 * stride)];
        var sy = v[at + (6 * stride)];
        var sz = v[at + (7 * stride)];
        v[at] = tiltX - ((s.Xx * bx) + (s.Xy * by) + (s.Xz * bz)) - ((s.RateXx * sx) + (s.RateXy * sy) + (s.RateXz * sz));
        v[at + stride] = tiltY - ((s.Yx * bx) + (s.Yy * by) + (s.Yz * bz)) - ((s.RateYx * sx) + (s.RateYy * sy) + (s.RateYz * sz));
        v[at + (8 * stride)] += s.VerticalForce * tiltY;
        v[at + (9 * stride)] -= s.VerticalForce * tiltX;
    }

    /// <summary>The transpose of <see cref="Transition"/>, for smoothing.</summary>
    internal static void TransposedTransition(Span<double> v, in StepSums s)
    {
        var tiltX = v[0];
        var tiltY = v[1];
        v[2] -= (s.Xx * tiltX) + (s.Yx * tiltY);
        v[3] -= (s.Xy * tiltX) + (s.Yy * tiltY);
        v[4] -= (s.Xz * tiltX) + (s.Yz * tiltY);
        v[5] -= (s.RateXx * tiltX) + (s.RateYx * tiltY);
        v[6] -= (s.RateXy * tiltX) + (s.RateYy * tiltY);
        v[7] -= (s.RateXz * tiltX) + (s.RateYz * tiltY);
        v[0] -= s.VerticalForce * v[9];
        v[1] += s.VerticalForce * v[8];
    }

    private static void Add(Span<double> p, int from, int count, double variance)
    {
        for (var i = from; i < from + count; i++)
        {
            p[(i * N) + i] += variance;
        }
    }
}
