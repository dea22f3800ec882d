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
        var low = c.SpecificForce;
        var meanX = s.RowX.Step(low, Vector256.Create(rowX.X, rowX.Y, rowX.Z, Vector3D.Dot(rowX, b)));
        var meanY = s.RowY.Step(low, Vector256.Create(rowY.X, rowY.Y, rowY.Z, Vector3D.Dot(rowY, b)));
        var meanZ = s.RowZ.Step(low, Vector256.Create(rowZ.X, rowZ.Y, rowZ.Z, 0));

        // The variance grows with every sample, measured or not.
        var p = s.BiasCovariance;
        p = p with
        {
            Xx = p.Xx < c.InitialBiasVariance ? p.Xx + c.BiasVarianceGrowth : p.Xx,
            Yy = p.Yy < c.InitialBiasVariance ? p.Yy + c.BiasVarianceGrowth : p.Yy,
            Zz = p.Zz < c.InitialBiasVariance ? p.Zz + c.BiasVarianceGrowth : p.Zz,
        };

        if (s.Rest.AtRest && c.Options.RestBiasEstimation)
        {
            (s.BiasRadps, s.BiasCovariance) = AtRest(p, b, s.Rest.MeanAngularRateRadps - b);
        }
        else if (c.Options.MotionBiasEstimation)
        {
            var hx = ToVector3D(meanX);
            var hy = ToVector3D(meanY);
            var hz = ToVector3D(meanZ);
            var innovation = new Vector3D(
                (-upLevel.Y / c.AccelerometerIntervalS) + meanX.GetElement(3) - Vector3D.Dot(hx, b),
                (upLevel.X / c.AccelerometerIntervalS) + meanY.GetElement(3) - Vector3D.Dot(hy, b),
                -Vector3D.Dot(hz, b));
            (s.BiasRadps, s.BiasCovariance) = InMotion(p, b, hx, hy, hz, innovation);
        }
        else
        {
            s.BiasCovariance = p;
        }
    }

    /// <summary>Measurement of the bias itself: H = 1, so K = P (P + w)^-1 and P' = P - K P.</summary>
    private (Vector3D Bias, SymmetricMatrix3 Covariance) AtRest(in SymmetricMatrix3 p, in Vector3D bias, in Vector3D innovation)
    {
        var w = _coefficients.RestNoise;
        var inverse = (p with { Xx = p.Xx + w, Yy = p.Yy + w, Zz = p.Zz + w }).Inverted();
        var px = new Vector3D(p.Xx, p.Xy, p.Xz);
        var py = new Vector3D(p.Xy, p.Yy, p.Yz);
        var pz = new Vector3D(p.Xz, p.Yz, p.Zz);
        return Correct(p, bias, px, py, pz, inverse, innovation);
    }

    /// <summary>General H with rows hx, hy, hz: K = P H' (H P H' + w)^-1 and P' = P - K H P.</summary>
    private (Vector3D Bias, SymmetricMatrix3 Covariance) InMotion(
        in SymmetricMatrix3 p, in Vector3D bias, in Vector3D hx, in Vector3D hy, in Vector3D hz, in Vector3D innovation)
    {
        var px = p * hx;
        var py = p * hy;
        var pz = p * hz;
        var w = _coefficients.MotionNoise;
        var inverse = new SymmetricMatrix3(
            Vector3D.Dot(hx, px) + w,
            Vector3D.Dot(hx, py),
            Vector3D.Dot(hx, pz),
            Vector3D.Dot(hy, py) + w,
            Vector3D.Dot(hy, pz),
            Vector3D.Dot(hz, pz) + _coefficients.VerticalNoise).Inverted();
        return Correct(p, bias, px, py, pz, inverse, innovation);
    }

    /// <summary>Common end: px, py, pz are the columns of P H', <paramref name="inverse"/> is (H P H' + w)^-1.</summary>
    private (Vector3D Bias, SymmetricMatrix3 Covariance) Correct(
        in SymmetricMatrix3 p,
        in Vector3D bias,
        in Vector3D px,
        in Vector3D py,
        in Vector3D pz,
        in SymmetricMatrix3 inverse,
        in Vector3D innovation)
    {
        var limit = _coefficients.BiasLimitRadps;
        var e = inverse * Clip(innovation, limit);
        var corrected = Clip(bias + (e.X * px) + (e.Y * py) + (e.Z * pz), limit);

        // Columns of the gain, kx = P H' inverse, then P - K (P H')', of which only the upper triangle is needed.
        var kx = (inverse.Xx * px) + (inverse.Xy * py) + (inverse.Xz * pz);
        var ky = (inverse.Xy * px) + (inverse.Yy * py) + (inverse.Yz * pz);
        var kz = (inverse.Xz * px) + (inverse.Yz * py) + (inverse.Zz * pz);
        return (corrected, new(
            p.Xx - ((kx.X * px.X) + (ky.X * py.X) + (kz.X * pz.X)),
            p.Xy - ((kx.X * px.Y) + (ky.X * py.Y) + (kz.X * pz.Y)),
            p.Xz - ((kx.X * px.Z) + (ky.X * py.Z) + (kz.X * pz.Z)),
            p.Yy - ((kx.Y * px.Y) + (ky.Y * py.Y) + (kz.Y * pz.Y)),
            p.Yz - ((kx.Y * px.Z) + (ky.Y * py.Z) + (kz.Y * pz.Z)),
            p.Zz - ((kx.Z * px.Z) + (ky.Z * py.Z) + (kz.Z * pz.Z))));
    }

    private static Vector3D Clip(in Vector3D v, double limit) =>
        new(Math.Clamp(v.X, -limit, limit), Math.Clamp(v.Y, -limit, limit), Math.Clamp(v.Z, -limit, limit));
}
