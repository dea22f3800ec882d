using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// VQF after D. Laidig, T. Seel, "VQF: Highly accurate IMU orientation estimation with bias estimation and magnetic
/// disturbance rejection", Information Fusion 91:187-204, 2023, doi 10.1016/j.inffus.2022.10.014.
/// </summary>
/// <remarks>
/// The gyroscope, corrected for its bias, keeps an almost inertial frame I. The specific force is averaged over some
/// seconds in I, where accelerations that come and go cancel, and its mean shows the vertical; so jumping on the spot
/// costs nothing. The heading correction turns about that vertical. Differences to the paper's own program: six numbers
/// instead of nine for the symmetric covariance, vector lanes for the equal low passes; the results agree to 1e-7 or better.
/// </remarks>
public sealed partial class VqfFilter : OrientationFilter
{
    private const double MachineEpsilon = 2.220446049250313e-16;

    private readonly VqfCoefficients _coefficients;
    private VqfState _state;

    /// <summary>A filter for sensors with one common sample rate.</summary>
    /// <param name="options">What to tune.</param>
    /// <param name="sampleRateHz">Hz, 1 to 100000.</param>
    public VqfFilter(VqfOptions options, double sampleRateHz)
        : this(VqfCoefficients.From(options, sampleRateHz))
    {
    }

    /// <summary>A filter with given coefficients, which several filters may share.</summary>
    public VqfFilter(VqfCoefficients coefficients)
    {
        ArgumentNullException.ThrowIfNull(coefficients);
        _coefficients = coefficients;
        _state = VqfState.Start(coefficients);
    }

    /// <summary>What it was made from.</summary>
    public VqfCoefficients Coefficients => _coefficients;

    /// <inheritdoc/>
    public override Rotation EarthFromSensor => _state.EarthFromLevelRad == 0 ? _state.LevelFromSensor : _state.EarthFromSensor;

    /// <inheritdoc/>
    public override Vector3D GyroscopeBiasSensorRadps => _state.BiasRadps;

    /// <inheritdoc/>
    public override double? GyroscopeBiasSigmaRadps => _coefficients.EstimatesBias ? _state.BiasSigmaRadps(_coefficients) : null;

    /// <inheritdoc/>
    public override bool IsAtRest => _state.Rest.AtRest;

    /// <summary>Whether the magnetic field is considered disturbed; true before a reference field is known.</summary>
    public bool IsMagneticFieldDisturbed => _state.Magnetic.Disturbed;

    /// <inheritdoc/>
    public override double IntervalS => _coefficients.GyroscopeIntervalS;

    private protected override ref SampleGate Gate => ref _state.Gate;

    internal ref readonly VqfState State => ref _state;

    /// <summary>A copy of all that changes.</summary>
    public VqfState Capture() => _state;

    /// <summary>Goes on from a captured state, exactly. The state must come from a filter with equal coefficients.</summary>
    public void Restore(VqfState state) => _state = state;

    /// <inheritdoc/>
    public override void Reset() => _state = VqfState.Start(_coefficients);

    private protected override void Step(in Vector3D angularRate, in Vector3D specificForce, SampleMarks marks)
    {
        StepAngularRate(angularRate);
        StepSpecificForce(specificForce);
    }

    private protected override void Step(
        in Vector3D angularRate, in Vector3D specificForce, in Vector3D magneticField, SampleMarks marks)
    {
        StepAngularRate(angularRate);
        StepSpecificForce(specificForce);
        StepMagneticField(magneticField);
    }

    /// <summary>
    /// Gyroscope step alone, for sensors with own rates. Per instant call in the order gyroscope, accelerometer,
    /// magnetometer. Refuses what cannot be a reading.
    /// </summary>
    /// <param name="angularRateSensorRadps">Gyroscope, rad/s.</param>
    public UpdateResult UpdateAngularRate(in Vector3D angularRateSensorRadps)
    {
        var result = SampleGate.Check(angularRateSensorRadps, Vector3D.Zero);
        if (result.IsAccepted)
        {
            StepAngularRate(angularRateSensorRadps);
        }

        return result;
    }

    /// <summary>Accelerometer step alone. A sample of exact zeros is a sensor without data and skipped.</summary>
    /// <param name="specificForceSensorMps2">Accelerometer, m/s2.</param>
    public UpdateResult UpdateSpecificForce(in Vector3D specificForceSensorMps2)
    {
        var result = SampleGate.Check(Vector3D.Zero, specificForceSensorMps2);
        if (result.IsAccepted)
        {
            StepSpecificForce(specificForceSensorMps2);
        }

        return result;
    }

    /// <summary>Magnetometer step alone. A sample of exact zeros is a sensor without data and skipped.</summary>
    /// <param name="magneticFieldSensor">Magnetometer, in any unit that stays the same.</param>
    public UpdateResult UpdateMagneticField(in Vector3D magneticFieldSensor)
    {
        var result = SampleGate.Check(Vector3D.Zero, Vector3D.Zero, magneticFieldSensor);
        if (result.IsAccepted)
        {
            StepMagneticField(magneticFieldSensor);
        }

        return result;
    }

    /// <summary>The next orientation after one sample interval of constant rate: exact, also for large angles.</summary>
    internal static Rotation Integrate(Rotation fromSensor, in Vector3D rateRadps, double intervalS)
    {
        var rate = rateRadps.Length;
        if (rate <= MachineEpsilon)
        {
            return fromSensor;
        }

        var (sine, cosine) = Math.SinCos(0.5 * intervalS * rate);
        var scale = sine / rate;
        return (fromSensor * new Rotation(cosine, scale * rateRadps.X, scale * rateRadps.Y, scale * rateRadps.Z)).Normalized();
    }

    /// <summary>The shortest rotation that puts a unit vector onto +z; a half turn about x when it points straight down.</summary>
    internal static Rotation LevelCorrection(in Vector3D up)
    {
        // cos(a/2) = sqrt((1 + cos a)/2), and sin(a/2) times the axis is (y, -x, 0)/(2 cos(a/2)). Within 2e-6 rad of
        // straight down that quotient is noise.
        var cosine = Math.Sqrt((up.Z + 1) / 2);
        return cosine > 1e-6 ? new(cosine, 0.5 * up.Y / cosine, -0.5 * up.X / cosine, 0) : new(0, 1, 0, 0);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> ToLanes(in Vector3D v) => Vector256.Create(v.X, v.Y, v.Z, 0);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector3D ToVector3D(Vector256<double> v) => new(v.GetElement(0), v.GetElement(1), v.GetElement(2));

    private void StepAngularRate(in Vector3D rateRadps)
    {
        ref var s = ref _state;
        if (_coefficients.DetectsRest)
        {
            _coefficients.Rest.StepAngularRate(ref s.Rest, rateRadps);
        }

        s.InertialFromSensor = Integrate(s.InertialFromSensor, rateRadps - s.BiasRadps, _coefficients.GyroscopeIntervalS);
    }

    private void StepSpecificForce(in Vector3D forceMps2)
    {
        if (forceMps2 == Vector3D.Zero)
        {
            return;
        }

        ref var s = ref _state;
        if (_coefficients.DetectsRest)
        {
            _coefficients.Rest.StepSpecificForce(ref s.Rest, forceMps2);
        }

        var forceInertial = s.InertialFromSensor.Rotate(forceMps2);
        var meanInertial = ToVector3D(s.SpecificForce.Step(_coefficients.SpecificForce, ToLanes(forceInertial)));
        var upLevel = s.LevelFromInertial.Rotate(meanInertial).Normalized();
        s.LevelFromInertial = (LevelCorrection(upLevel) * s.LevelFromInertial).Normalized();

        if (_coefficients.EstimatesBias)
        {
            EstimateBias(ref s, upLevel);
        }
    }

    private void StepMagneticField(in Vector3D fieldSensor)
    {
        if (fieldSensor == Vector3D.Zero)
        {
            return;
        }

        ref var s = ref _state;
        s.EarthFromLevelRad = MagneticHeading.Step(
            ref s.Magnetic, _coefficients, s.EarthFromLevelRad, s.LevelFromSensor.Rotate(fieldSensor), s.Rest.MeanAngularRateRadps);
    }
}
