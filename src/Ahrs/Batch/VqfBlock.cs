using System.Runtime.CompilerServices;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>What <see cref="VqfBatch"/> asks of a block of sensors, whatever its width.</summary>
internal interface IVqfBlock
{
    /// <summary>Takes one sample of each sensor; true when none was refused.</summary>
    bool Update(ReadOnlySpan<double> rates, ReadOnlySpan<double> forces, int stride);

    bool WasRefused(int lane);

    Rotation LevelFromSensor(int lane);

    Vector3D BiasRadps(int lane);

    Vector3D MeanRateRadps(int lane);

    bool IsAtRest(int lane);

    IVqfBlock Copy();
}

/// <summary><see cref="VqfFilter"/> without magnetometer for as many sensors as there are lanes: the same steps, masks for branches.</summary>
internal sealed class VqfBlock<T> : IVqfBlock
    where T : struct, ILanes<T>
{
    private readonly VqfCoefficients _c;
    private LaneLowPass<T> _restRate = new(3);
    private LaneLowPass<T> _restForce = new(3);
    private LaneLowPass<T> _force = new(3);
    private LaneLowPass<T> _biasRows = new(11);
    private readonly T _set;

    // Lanes without a sensor always count as active, so that what stands in them never costs the slow path.
    private readonly T _unused;
    private LaneRotation<T> _inertialFromSensor;
    private LaneRotation<T> _levelFromInertial;
    private LaneVector<T> _bias;
    private LaneVector<T> _meanRate;
    private T _restTime;
    private T _atRest;
    private T _refused;
    private T _pxx;
    private T _pxy;
    private T _pxz;
    private T _pyy;
    private T _pyz;
    private T _pzz;

    public VqfBlock(VqfCoefficients coefficients, int used)
    {
        _c = coefficients;
        _set = T.Less(T.Broadcast(0), T.Broadcast(1));
        Span<double> numbers = stackalloc double[T.Width];
        for (var i = 0; i < numbers.Length; i++)
        {
            numbers[i] = i;
        }

        _unused = T.Less(T.Broadcast(used - 0.5), T.Load(numbers));
        _inertialFromSensor.W = T.Broadcast(1);
        _levelFromInertial.W = T.Broadcast(1);
        _pxx = T.Broadcast(coefficients.InitialBiasVariance);
        _pyy = _pxx;
        _pzz = _pxx;
    }

    public IVqfBlock Copy()
    {
        var copy = (VqfBlock<T>)MemberwiseClone();
        copy._restRate = _restRate.Copy();
        copy._restForce = _restForce.Copy();
        copy._force = _force.Copy();
        copy._biasRows = _biasRows.Copy();
        return copy;
    }

    public bool WasRefused(int lane) => IsSet(_refused, lane);

    public bool IsAtRest(int lane) => IsSet(_atRest, lane);

    public Rotation LevelFromSensor(int lane) =>
        new Rotation(_levelFromInertial.W[lane], _levelFromInertial.X[lane], _levelFromInertial.Y[lane], _levelFromInertial.Z[lane])
        * new Rotation(_inertialFromSensor.W[lane], _inertialFromSensor.X[lane], _inertialFromSensor.Y[lane], _inertialFromSensor.Z[lane]);

    public Vector3D BiasRadps(int lane) => new(_bias.X[lane], _bias.Y[lane], _bias.Z[lane]);

    public Vector3D MeanRateRadps(int lane) => new(_meanRate.X[lane], _meanRate.Y[lane], _meanRate.Z[lane]);

    public bool Update(ReadOnlySpan<double> rates, ReadOnlySpan<double> forces, int stride)
    {
        var rate = new LaneVector<T>(T.Load(rates), T.Load(rates[stride..]), T.Load(rates[(2 * stride)..]));
        var force = new LaneVector<T>(T.Load(forces), T.Load(forces[stride..]), T.Load(forces[(2 * stride)..]));

        // No comparison with NaN holds. The next number above the limit, so that "less" takes the limit itself as well.
        var largestRate = T.Broadcast(Math.BitIncrement(UpdateResult.LargestRateRadps));
        var largestForce = T.Broadcast(Math.BitIncrement(UpdateResult.LargestForceMps2));
        var taken = T.Or(_unused, T.And(AreLess(rate, largestRate), AreLess(force, largestForce)));
        var allTaken = T.All(taken);
        _refused = allTaken ? T.Broadcast(0) : T.Select(taken, T.Broadcast(0), _set);
        StepAngularRate(rate, taken, allTaken);

        var size = T.Abs(force.X) + T.Abs(force.Y) + T.Abs(force.Z);
        var active = T.Or(_unused, T.And(taken, T.Less(T.Broadcast(0), size)));
        StepSpecificForce(force, active, T.All(active));
        return allTaken;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool IsSet(T mask, int lane) => BitConverter.DoubleToInt64Bits(mask[lane]) != 0;

    private void StepAngularRate(LaneVector<T> rate, T active, bool allActive)
    {
        if (_c.DetectsRest)
        {
            Span<T> mean = [rate.X, rate.Y, rate.Z];
            _restRate.Step(_c.Rest.AngularRate, mean, active, allActive);
            var low = new LaneVector<T>(mean[0], mean[1], mean[2]);
            var limit = T.Broadcast(_c.Rest.MeanRateLimit);
            var deviation = rate - low;
            var still = T.And(
                T.Less(LaneVector<T>.Dot(deviation, deviation), T.Broadcast(_c.Rest.RateLimitSquared)),
                T.And(NotOver(low.X, limit), T.And(NotOver(low.Y, limit), NotOver(low.Z, limit))));
            _meanRate = LaneVector<T>.Select(active, low, _meanRate);
            KeepRest(still, active);
        }

        var w = rate - _bias;
        var norm = T.Sqrt(LaneVector<T>.Dot(w, w));
        var turns = T.And(active, T.Less(T.Broadcast(2.220446049250313e-16), norm));
        var divisor = T.Select(turns, norm, T.Broadcast(1));
        var (sine, cosine) = T.SinCos(T.Broadcast(0.5 * _c.GyroscopeIntervalS) * divisor);
        var scale = sine / divisor;
        var next = (_inertialFromSensor * new LaneRotation<T>(cosine, scale * w.X, scale * w.Y, scale * w.Z)).Normalized();
        _inertialFromSensor = LaneRotation<T>.Select(turns, next, _inertialFromSensor);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static T AreLess(LaneVector<T> v, T limit) =>
        T.And(T.Less(T.Abs(v.X), limit), T.And(T.Less(T.Abs(v.Y), limit), T.Less(T.Abs(v.Z), limit)));

    /// <summary>|value| at most the limit: not (limit less than |value|).</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private T NotOver(T value, T limit) => T.Select(T.Less(limit, T.Abs(value)), T.Broadcast(0), _set);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void KeepRest(T still, T active)
    {
        var moves = T.Select(still, T.Broadcast(0), active);
        _restTime = T.Select(moves, T.Broadcast(0), _restTime);
        _atRest = T.Select(moves, T.Broadcast(0), _atRest);
    }

    private void StepSpecificForce(LaneVector<T> force, T active, bool allActive)
    {
        if (_c.DetectsRest)
        {
            Span<T> mean = [force.X, force.Y, force.Z];
            _restForce.Step(_c.Rest.SpecificForce, mean, active, allActive);
            var deviation = force - new LaneVector<T>(mean[0], mean[1], mean[2]);
            var still = T.Less(LaneVector<T>.Dot(deviation, deviation), T.Broadcast(_c.Rest.ForceLimitSquared));
            KeepRest(still, active);
            var rests = T.And(still, active);
            _restTime += T.And(rests, T.Broadcast(_c.AccelerometerIntervalS));
            var longEnough = T.Select(T.Less(_restTime, T.Broadcast(_c.Options.RestMinimumTimeS)), T.Broadcast(0), rests);
            _atRest = T.Or(_atRest, longEnough);
        }

        var inertial = _inertialFromSensor.Rotate(force);
        Span<T> channels = [inertial.X, inertial.Y, inertial.Z];
        _force.Step(_c.SpecificForce, channels, active, allActive);
        var up = _levelFromInertial.Rotate(new(channels[0], channels[1], channels[2]));
        var length = T.Sqrt(LaneVector<T>.Dot(up, up));
        var shrink = T.Broadcast(1) / T.Select(T.Less(T.Broadcast(0), length), length, T.Broadcast(1));
        up = new(shrink * up.X, shrink * up.Y, shrink * up.Z);
        var half = T.Broadcast(0.5);
        var cosine = T.Sqrt((up.Z + T.Broadcast(1)) * half);
        var upright = T.Less(T.Broadcast(1e-6), cosine);
        var tilt = half / T.Select(upright, cosine, T.Broadcast(1));
        var correction = LaneRotation<T>.Select(
            upright,
            new(cosine, tilt * up.Y, T.Broadcast(0) - (tilt * up.X), T.Broadcast(0)),
            new(T.Broadcast(0), T.Broadcast(1), T.Broadcast(0), T.Broadcast(0)));
        var next = (correction * _levelFromInertial).Normalized();
        _levelFromInertial = LaneRotation<T>.Select(active, next, _levelFromInertial);
        if (_c.EstimatesBias)
        {
            EstimateBias(up, active, allActive);
        }
    }

    private void EstimateBias(LaneVector<T> up, T active, bool allActive)
    {
        var b = _bias;
        var q = _levelFromInertial * _inertialFromSensor;
        var one = T.Broadcast(1);
        var two = T.Broadcast(2);
        T xx = q.X * q.X, yy = q.Y * q.Y, zz = q.Z * q.Z;
        T xy = q.X * q.Y, xz = q.X * q.Z, yz = q.Y * q.Z;
        T wx = q.W * q.X, wy = q.W * q.Y, wz = q.W * q.Z;
        var rowX = new LaneVector<T>(one - (two * (yy + zz)), two * (xy - wz), two * (xz + wy));
        var rowY = new LaneVector<T>(two * (xy + wz), one - (two * (xx + zz)), two * (yz - wx));
        var rowZ = new LaneVector<T>(two * (xz - wy), two * (yz + wx), one - (two * (xx + yy)));
        Span<T> rows =
        [
            rowX.X, rowX.Y, rowX.Z, rowY.X, rowY.Y, rowY.Z, rowZ.X, rowZ.Y, rowZ.Z,
            LaneVector<T>.Dot(rowX, b), LaneVector<T>.Dot(rowY, b),
        ];
        _biasRows.Step(_c.SpecificForce, rows, active, allActive);

        var initial = T.Broadcast(_c.InitialBiasVariance);
        var growth = T.And(active, T.Broadcast(_c.BiasVarianceGrowth));
        _pxx += T.And(T.Less(_pxx, initial), growth);
        _pyy += T.And(T.Less(_pyy, initial), growth);
        _pzz += T.And(T.Less(_pzz, initial), growth);

        var rest = _c.Options.RestBiasEstimation ? T.And(_atRest, active) : T.Broadcast(0);
        var measured = _c.Options.MotionBiasEstimation ? active : rest;
        if (!T.Any(measured))
        {
            return;
        }

        var hx = new LaneVector<T>(rows[0], rows[1], rows[2]);
        var hy = new LaneVector<T>(rows[3], rows[4], rows[5]);
        var hz = new LaneVector<T>(rows[6], rows[7], rows[8]);
        var rate = T.Broadcast(1 / _c.AccelerometerIntervalS);
        var e = new LaneVector<T>(
            rows[9] - (up.Y * rate) - LaneVector<T>.Dot(hx, b),
            rows[10] + (up.X * rate) - LaneVector<T>.Dot(hy, b),
            T.Broadcast(0) - LaneVector<T>.Dot(hz, b));
        var noise = T.Broadcast(_c.MotionNoise);
        var verticalNoise = T.Broadcast(_c.VerticalNoise);
        if (T.Any(rest))
        {
            var zero = T.Broadcast(0);
            hx = LaneVector<T>.Select(rest, new(one, zero, zero), hx);
            hy = LaneVector<T>.Select(rest, new(zero, one, zero), hy);
            hz = LaneVector<T>.Select(rest, new(zero, zero, one), hz);
            e = LaneVector<T>.Select(rest, _meanRate - b, e);
            noise = T.Select(rest, T.Broadcast(_c.RestNoise), noise);
            verticalNoise = T.Select(rest, T.Broadcast(_c.RestNoise), verticalNoise);
        }

        Correct(hx, hy, hz, e, noise, verticalNoise, measured);
    }

    private void Correct(LaneVector<T> hx, LaneVector<T> hy, LaneVector<T> hz, LaneVector<T> e, T noise, T verticalNoise, T measured)
    {
        T pxx = _pxx, pxy = _pxy, pxz = _pxz, pyy = _pyy, pyz = _pyz, pzz = _pzz;
        var px = Multiply(pxx, pxy, pxz, pyy, pyz, pzz, hx);
        var py = Multiply(pxx, pxy, pxz, pyy, pyz, pzz, hy);
        var pz = Multiply(pxx, pxy, pxz, pyy, pyz, pzz, hz);
        var sxx = LaneVector<T>.Dot(hx, px) + noise;
        var sxy = LaneVector<T>.Dot(hx, py);
        var sxz = LaneVector<T>.Dot(hx, pz);
        var syy = LaneVector<T>.Dot(hy, py) + noise;
        var syz = LaneVector<T>.Dot(hy, pz);
        var szz = LaneVector<T>.Dot(hz, pz) + verticalNoise;
        var cxx = (syy * szz) - (syz * syz);
        var cxy = (sxz * syz) - (sxy * szz);
        var cxz = (sxy * syz) - (sxz * syy);
        var scale = T.Broadcast(1) / ((sxx * cxx) + (sxy * cxy) + (sxz * cxz));
        var ixx = scale * cxx;
        var ixy = scale * cxy;
        var ixz = scale * cxz;
        var iyy = scale * ((sxx * szz) - (sxz * sxz));
        var iyz = scale * ((sxz * sxy) - (sxx * syz));
        var izz = scale * ((sxx * syy) - (sxy * sxy));

        var limit = T.Broadcast(_c.BiasLimitRadps);
        var low = T.Broadcast(-_c.BiasLimitRadps);
        e = new(T.Clamp(e.X, low, limit), T.Clamp(e.Y, low, limit), T.Clamp(e.Z, low, limit));
        var gx = (ixx * e.X) + (ixy * e.Y) + (ixz * e.Z);
        var gy = (ixy * e.X) + (iyy * e.Y) + (iyz * e.Z);
        var gz = (ixz * e.X) + (iyz * e.Y) + (izz * e.Z);
        var bias = new LaneVector<T>(
            T.Clamp(_bias.X + (gx * px.X) + (gy * py.X) + (gz * pz.X), low, limit),
            T.Clamp(_bias.Y + (gx * px.Y) + (gy * py.Y) + (gz * pz.Y), low, limit),
            T.Clamp(_bias.Z + (gx * px.Z) + (gy * py.Z) + (gz * pz.Z), low, limit));
        _bias = LaneVector<T>.Select(measured, bias, _bias);

        var kx = Combine(ixx, ixy, ixz, px, py, pz);
        var ky = Combine(ixy, iyy, iyz, px, py, pz);
        var kz = Combine(ixz, iyz, izz, px, py, pz);
        _pxx = T.Select(measured, pxx - ((kx.X * px.X) + (ky.X * py.X) + (kz.X * pz.X)), pxx);
        _pxy = T.Select(measured, pxy - ((kx.X * px.Y) + (ky.X * py.Y) + (kz.X * pz.Y)), pxy);
        _pxz = T.Select(measured, pxz - ((kx.X * px.Z) + (ky.X * py.Z) + (kz.X * pz.Z)), pxz);
        _pyy = T.Select(measured, pyy - ((kx.Y * px.Y) + (ky.Y * py.Y) + (kz.Y * pz.Y)), pyy);
        _pyz = T.Select(measured, pyz - ((kx.Y * px.Z) + (ky.Y * py.Z) + (kz.Y * pz.Z)), pyz);
        _pzz = T.Select(measured, pzz - ((kx.Z * px.Z) + (ky.Z * py.Z) + (kz.Z * pz.Z)), pzz);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static LaneVector<T> Multiply(T xx, T xy, T xz, T yy, T yz, T zz, LaneVector<T> h) => new(
        (xx * h.X) + (xy * h.Y) + (xz * h.Z), (xy * h.X) + (yy * h.Y) + (yz * h.Z), (xz * h.X) + (yz * h.Y) + (zz * h.Z));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static LaneVector<T> Combine(T a, T b, T c, LaneVector<T> px, LaneVector<T> py, LaneVector<T> pz) => new(
        (a * px.X) + (b * py.X) + (c * pz.X), (a * px.Y) + (b * py.Y) + (c * pz.Y), (a * px.Z) + (b * py.Z) + (c * pz.Z));
}
