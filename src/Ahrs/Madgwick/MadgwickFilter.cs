using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// Gradient descent filter after S. O. H. Madgwick, "An efficient orientation filter for inertial and inertial/magnetic
/// sensor arrays", report, University of Bristol, 2010; S. O. H. Madgwick, A. J. L. Harrison, R. Vaidyanathan, ICORR 2011.
/// </summary>
/// <remarks>
/// <para>
/// dq/dt = q w / 2 - beta grad / |grad|, where grad = J' f and f = (expected direction in the sensor frame) - (measured
/// one), as the report writes them out in equations (20) to (34). The reference field is (0, horizontal part, vertical part) of the measured one.
/// </para>
/// <para>
/// Our differences: north is y (ENU) instead of x; the gyroscope part is the exact exponential; the first usable sample
/// sets the start; a gradient of exactly zero and a vector of length zero give no correction, so nothing is ever divided
/// by zero; the reference field keeps its full length (some programs carry half of it); the bias is bounded.
/// </para>
/// </remarks>
public sealed class MadgwickFilter : OrientationFilter
{
    private readonly MadgwickCoefficients _coefficients;
    private MadgwickState _state;

    /// <summary>A filter with options at a sample rate.</summary>
    /// <param name="options">What to tune.</param>
    /// <param name="sampleRateHz">Hz, 1 to 100000.</param>
    public MadgwickFilter(MadgwickOptions options, double sampleRateHz)
        : this(MadgwickCoefficients.From(options, sampleRateHz))
    {
    }

    /// <summary>A filter with given coefficients, which several filters may share.</summary>
    public MadgwickFilter(MadgwickCoefficients coefficients)
    {
        ArgumentNullException.ThrowIfNull(coefficients);
        _coefficients = coefficients;
        Reset();
    }

    /// <inheritdoc/>
    public override Rotation EarthFromSensor => _state.EarthFromSensor;

    /// <inheritdoc/>
    public override Vector3D GyroscopeBiasSensorRadps => _state.BiasRadps;

    /// <inheritdoc/>
    public override double? GyroscopeBiasSigmaRadps => null;

    /// <inheritdoc/>
    public override bool IsAtRest => _state.Rest.AtRest;

    /// <inheritdoc/>
    public override double IntervalS => _coefficients.IntervalS;

    private protected override ref SampleGate Gate => ref _state.Gate;

    /// <summary>A copy of all that changes.</summary>
    public MadgwickState Capture() => _state;

    /// <summary>Goes on from a captured state, exactly.</summary>
    public void Restore(MadgwickState state) => _state = state;

    /// <inheritdoc/>
    public override void Reset() => _state = new() { EarthFromSensor = Rotation.Identity };

    private protected override void Step(in Vector3D angularRate, in Vector3D specificForce, SampleMarks marks)
    {
        DetectRest(angularRate, specificForce);
        if (FirstDirections.Level(ref _state.EarthFromSensor, ref _state.Levelled, specificForce))
        {
            return;
        }

        Descend(angularRate, GravityGradient(specificForce));
    }

    private protected override void Step(
        in Vector3D angularRate, in Vector3D specificForce, in Vector3D magneticField, SampleMarks marks)
    {
        DetectRest(angularRate, specificForce);
        var first = FirstDirections.Level(ref _state.EarthFromSensor, ref _state.Levelled, specificForce);
        first |= FirstDirections.Head(ref _state.EarthFromSensor, ref _state.Headed, _state.Levelled, magneticField);
        if (first)
        {
            return;
        }

        var gravity = GravityGradient(specificForce);
        var field = FieldGradient(magneticField);
        Descend(angularRate, new(gravity.W + field.W, gravity.X + field.X, gravity.Y + field.Y, gravity.Z + field.Z));
    }

    private void DetectRest(in Vector3D angularRate, in Vector3D specificForce)
    {
        _coefficients.Rest.StepAngularRate(ref _state.Rest, angularRate);
        _coefficients.Rest.StepSpecificForce(ref _state.Rest, specificForce);
    }

    private Rotation GravityGradient(in Vector3D specificForce) => specificForce.LengthSquared == 0
        ? default
        : Gradient(Vector3D.UnitZ, specificForce.Normalized());

    private Rotation FieldGradient(in Vector3D magneticField)
    {
        var direction = magneticField.Normalized();
        var earth = _state.EarthFromSensor.Rotate(direction);
        return Gradient(new(0, Math.Sqrt((earth.X * earth.X) + (earth.Y * earth.Y)), earth.Z), direction);
    }

    /// <summary>J' f for the earth direction d = (0, y, z) and the measured sensor direction s.</summary>
    private Rotation Gradient(in Vector3D d, in Vector3D s)
    {
        // Rows of R' (sensor from earth) for d: f = d.Y * row(y) + d.Z * row(z) - s, with the diagonal as 1 - 2 (..).
        // The columns of J are the derivatives by w, x, y, z.
        var q = _state.EarthFromSensor;
        var fx = (d.Y * 2 * ((q.X * q.Y) + (q.W * q.Z))) + (d.Z * 2 * ((q.X * q.Z) - (q.W * q.Y))) - s.X;
        var fy = (d.Y * (1 - (2 * ((q.X * q.X) + (q.Z * q.Z))))) + (d.Z * 2 * ((q.W * q.X) + (q.Y * q.Z))) - s.Y;
        var fz = (d.Y * 2 * ((q.Y * q.Z) - (q.W * q.X))) + (d.Z * (1 - (2 * ((q.X * q.X) + (q.Y * q.Y))))) - s.Z;
        var yw = 2 * d.Y * q.W;
        var yx = 2 * d.Y * q.X;
        var yy = 2 * d.Y * q.Y;
        var yz = 2 * d.Y * q.Z;
        var zw = 2 * d.Z * q.W;
        var zx = 2 * d.Z * q.X;
        var zy = 2 * d.Z * q.Y;
        var zz = 2 * d.Z * q.Z;
        return new(
            ((yz - zy) * fx) + (zx * fy) - (yx * fz),
            ((yy + zz) * fx) + (((-2 * yx) + zw) * fy) + ((-yw - (2 * zx)) * fz),
            ((yx - zw) * fx) + (zz * fy) + ((yz - (2 * zy)) * fz),
            ((yw + zx) * fx) + (((-2 * yz) + zy) * fy) + (yy * fz));
    }

    private void Descend(in Vector3D angularRate, in Rotation gradient)
    {
        var c = _coefficients;
        ref var s = ref _state;
        var length = Math.Sqrt(
            (gradient.W * gradient.W) + (gradient.X * gradient.X) + (gradient.Y * gradient.Y) + (gradient.Z * gradient.Z));
        var along = length > 0
            ? new Rotation(gradient.W / length, gradient.X / length, gradient.Y / length, gradient.Z / length)
            : default;

        if (c.Options.DriftGainPerS > 0)
        {
            // The rate error that the gradient stands for, 2 q* grad, integrated (section 3.6 of the report).
            var error = s.EarthFromSensor.Inverse * along;
            var step = 2 * c.Options.DriftGainPerS * c.IntervalS;
            var limit = c.BiasLimitRadps;
            s.BiasRadps = new(
                Math.Clamp(s.BiasRadps.X + (step * error.X), -limit, limit),
                Math.Clamp(s.BiasRadps.Y + (step * error.Y), -limit, limit),
                Math.Clamp(s.BiasRadps.Z + (step * error.Z), -limit, limit));
        }

        var turned = VqfFilter.Integrate(s.EarthFromSensor, angularRate - s.BiasRadps, c.IntervalS);
        var move = c.Options.GainPerS * c.IntervalS;
        s.EarthFromSensor = new Rotation(
            turned.W - (move * along.W), turned.X - (move * along.X), turned.Y - (move * along.Y), turned.Z - (move * along.Z))
            .Normalized();
    }
}
