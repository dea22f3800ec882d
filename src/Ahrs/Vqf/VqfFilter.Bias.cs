using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <content>The Kalman filter of the gyroscope bias (section 3.3 of the paper).</content>
public sealed partial class VqfFilter
{
    /// <summary>One bias step, after the tilt correction that <paramref name="upLevel"/> asked for.</summary>
    /// <remarks>
    /// In motion: the steady tilt correction per sample, over the sample interval, is the horizontal bias as seen through
    /// the accelerometer low pass; hence rotation and bias go through the same low pass before they are compared. The
    /// vertical bias does not show in the tilt and is pulled weakly to zero.
    /// </remarks>
    private void EstimateBias(ref VqfState s, in Vector3D upLevel)
    {
        var c = _coefficients;
        var b = s.BiasRadps;

        // Rows of the rotation matrix of levelFromSensor; lane 3 takes the bias along level x and y.
        var q = s.LevelFromSensor;
        double xx = q.X * q.X, yy = q.Y * q.Y, zz = q.Z * q.Z;
        double xy = q.X * q.Y, xz = q.X * q.Z, yz = q.Y * q.Z;
        double wx = q.W * q.X, wy = q.W * q.Y, wz = q.W * q.Z;
        var rowX = new Vector3D(1 - (2 * (yy + zz)), 2 * (xy - wz), 2 * (xz + wy));
        var rowY = new Vector3D(2 * (xy + wz), 1 - (2 * (xx + zz)), 2 * (yz - wx));
        var rowZ = new Vector3D(2 * (xz - wy), 2 * (yz + wx), 1 - (2 * (xx + yy)));
        ref readonly var low = ref c.SpecificForce;
        var meanX = s.RowX.Step(low, Vector256.Create(rowX.X, rowX.Y, rowX.Z, Vector3D.Dot(rowX, b)));
        var meanY = s.RowY.Step(low, Vector256.Create(rowY.X, rowY.Y, rowY.Z, Vector3D.Dot(rowY, b)));
        var meanZ = s.RowZ.Step(low, Vector256.Create(rowZ.X, rowZ.Y, rowZ.Z, 0));

        // The variance grows with every sample, measured or not.
        ref var p = ref s.BiasCovariance;
        var initial = c.InitialBiasVariance;
        var growth = c.BiasVarianceGrowth;
        p = new(
            p.Xx < initial ? p.Xx + growth : p.Xx,
            p.Xy,
            p.Xz,
            p.Yy < initial ? p.Yy + growth : p.Yy,
            p.Yz,
            p.Zz < initial ? p.Zz + growth : p.Zz);

        if (s.Rest.AtRest && c.Options.RestBiasEstimation)
        {
            MeasureAtRest(ref s);
        }
        else if (c.Options.MotionBiasEstimation)
        {
            MeasureInMotion(ref s, upLevel, meanX, meanY, meanZ);
        }
    }

    /// <summary>Measurement of the bias itself: H = 1.</summary>
    private void MeasureAtRest(ref VqfState s)
    {
        ref readonly var p = ref s.BiasCovariance;
        var w = _coefficients.RestNoise;
        Correct(
            ref s,
            new(p.Xx, p.Xy, p.Xz),
            new(p.Xy, p.Yy, p.Yz),
            new(p.Xz, p.Yz, p.Zz),
            new(p.Xx + w, p.Xy, p.Xz, p.Yy + w, p.Yz, p.Zz + w),
            s.Rest.MeanAngularRateRadps - s.BiasRadps);
    }

    /// <summary>Measurement through the low-passed rotation matrix, whose rows are hx, hy, hz.</summary>
    private void MeasureInMotion(
        ref VqfState s, in Vector3D upLevel, Vector256<double> meanX, Vector256<double> meanY, Vector256<double> meanZ)
    {
        var c = _coefficients;
        var hx = ToVector3D(meanX);
        var hy = ToVector3D(meanY);
        var hz = ToVector3D(meanZ);
        var b = s.BiasRadps;
        var rate = 1 / c.AccelerometerIntervalS;
        var innovation = new Vector3D(
            meanX.GetElement(3) - (upLevel.Y * rate) - Vector3D.Dot(hx, b),
            meanY.GetElement(3) + (upLevel.X * rate) - Vector3D.Dot(hy, b),
            -Vector3D.Dot(hz, b));
        ref readonly var p = ref s.BiasCovariance;
        var px = p * hx;
        var py = p * hy;
        var pz = p * hz;
        Correct(
            ref s,
            px,
            py,
            pz,
            new(
                Vector3D.Dot(hx, px) + c.MotionNoise,
                Vector3D.Dot(hx, py),
                Vector3D.Dot(hx, pz),
                Vector3D.Dot(hy, py) + c.MotionNoise,
                Vector3D.Dot(hy, pz),
                Vector3D.Dot(hz, pz) + c.VerticalNoise),
            innovation);
    }

    /// <summary>
    /// K = P H' S^-1, b' = b + K e, P' = P - K (P H')', with px, py, pz the columns of P H' and S = H P H' + w.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Correct(
        ref VqfState s, Vector3D px, Vector3D py, Vector3D pz, SymmetricMatrix3 innovationCovariance, Vector3D innovation)
    {
        var limit = _coefficients.BiasLimitRadps;
        var inverse = innovationCovariance.Inverted();
        var e = inverse * Clip(innovation, limit);
        var b = s.BiasRadps;
        s.BiasRadps = Clip(
            new(
                b.X + (e.X * px.X) + (e.Y * py.X) + (e.Z * pz.X),
                b.Y + (e.X * px.Y) + (e.Y * py.Y) + (e.Z * pz.Y),
                b.Z + (e.X * px.Z) + (e.Y * py.Z) + (e.Z * pz.Z)),
            limit);

        // Columns of the gain; of the covariance only the upper triangle is needed.
        var kx = Combine(inverse.Xx, inverse.Xy, inverse.Xz, px, py, pz);
        var ky = Combine(inverse.Xy, inverse.Yy, inverse.Yz, px, py, pz);
        var kz = Combine(inverse.Xz, inverse.Yz, inverse.Zz, px, py, pz);
        ref var p = ref s.BiasCovariance;
        p = new(
            p.Xx - ((kx.X * px.X) + (ky.X * py.X) + (kz.X * pz.X)),
            p.Xy - ((kx.X * px.Y) + (ky.X * py.Y) + (kz.X * pz.Y)),
            p.Xz - ((kx.X * px.Z) + (ky.X * py.Z) + (kz.X * pz.Z)),
            p.Yy - ((kx.Y * px.Y) + (ky.Y * py.Y) + (kz.Y * pz.Y)),
            p.Yz - ((kx.Y * px.Z) + (ky.Y * py.Z) + (kz.Y * pz.Z)),
            p.Zz - ((kx.Z * px.Z) + (ky.Z * py.Z) + (kz.Z * pz.Z)));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector3D Combine(double a, double b, double c, in Vector3D px, in Vector3D py, in Vector3D pz) => new(
        (a * px.X) + (b * py.X) + (c * pz.X), (a * px.Y) + (b * py.Y) + (c * pz.Y), (a * px.Z) + (b * py.Z) + (c * pz.Z));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector3D Clip(in Vector3D v, double limit) =>
        new(ClipOne(v.X, limit), ClipOne(v.Y, limit), ClipOne(v.Z, limit));

    /// <summary>Without the check of the limits that Math.Clamp makes each time.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double ClipOne(double value, double limit) => value > limit ? limit : value < -limit ? -limit : value;
}
