using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// Explicit complementary filter with bias after R. Mahony, T. Hamel, J.-M. Pflimlin, "Nonlinear Complementary Filters on
/// the Special Orthogonal Group", IEEE Transactions on Automatic Control 53(5):1203-1218, 2008, eq. (32) and (48).
/// </summary>
/// <remarks>
/// <para>
/// e = sum of v x v_hat over the measured directions v and the expected ones v_hat; dR/dt = R [w - b + kP e]x;
/// db/dt = -kI e. All vectors in the sensor frame; both weights are 1.
/// </para>
/// <para>
/// Our differences: exact exponential instead of an Euler step; the first usable sample sets the start; a vector of
/// length zero gives no correction (no other sample is skipped, also not with a component of exactly 0); the bias is
/// bounded; the magnetic reference direction is taken from the horizontal and vertical part of the measured field (as
/// Madgwick does), since its dip is unknown. Each sample counts by its direction alone, so flight and impacts steer it.
/// </para>
/// </remarks>
public sealed class MahonyFilter : OrientationFilter
{
    private readonly MahonyCoefficients _coefficients;
    private MahonyState _state;

    /// <summary>A filter with options at a sample rate.</summary>
    /// <param name="options">What to tune.</param>
    /// <param name="sampleRateHz">Hz, 1 to 100000.</param>
    public MahonyFilter(MahonyOptions options, double sampleRateHz)
        : this(MahonyCoefficients.From(options, sampleRateHz))
    {
    }

    /// <summary>A filter with given coefficients, which several filters may share.</summary>
    public MahonyFilter(MahonyCoefficients coefficients)
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
    public MahonyState Capture() => _state;

    /// <summary>Goes on from a captured state, exactly.</summary>
    public void Restore(MahonyState state) => _state = state;

    /// <inheritdoc/>
    public override void Reset() => _state = new() { EarthFromSensor = Rotation.Identity };

    private protected override void Step(in Vector3D angularRate, in Vector3D specificForce, SampleMarks marks)
    {
        DetectRest(angularRate, specificForce);
        if (FirstDirections.Level(ref _state.EarthFromSensor, ref _state.Levelled, specificForce))
        {
            return;
        }

        Correct(angularRate, TiltError(specificForce));
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

        Correct(angularRate, TiltError(specificForce) + FieldError(magneticField));
    }

    private void DetectRest(in Vector3D angularRate, in Vector3D specificForce)
    {
        _coefficients.Rest.StepAngularRate(ref _state.Rest, angularRate);
        _coefficients.Rest.StepSpecificForce(ref _state.Rest, specificForce);
    }

    private Vector3D TiltError(in Vector3D specificForce) =>
        Vector3D.Cross(specificForce.Normalized(), _state.EarthFromSensor.Inverse.Rotate(Vector3D.UnitZ));

    private Vector3D FieldError(in Vector3D magneticField)
    {
        var direction = magneticField.Normalized();
        var earth = _state.EarthFromSensor.Rotate(direction);
        var expectedEarth = new Vector3D(0, Math.Sqrt((earth.X * earth.X) + (earth.Y * earth.Y)), earth.Z);
        return Vector3D.Cross(direction, _state.EarthFromSensor.Inverse.Rotate(expectedEarth));
    }

    private void Correct(in Vector3D angularRate, in Vector3D error)
    {
        var limit = _coefficients.BiasLimitRadps;
        var options = _coefficients.Options;
        var bias = _state.BiasRadps - (options.IntegralGainPerS2 * _coefficients.IntervalS * error);
        _state.BiasRadps = new(
            Math.Clamp(bias.X, -limit, limit), Math.Clamp(bias.Y, -limit, limit), Math.Clamp(bias.Z, -limit, limit));
        var rate = angularRate - _state.BiasRadps + (options.ProportionalGainPerS * error);
        _state.EarthFromSensor = VqfFilter.Integrate(_state.EarthFromSensor, rate, _coefficients.IntervalS);
    }
}
