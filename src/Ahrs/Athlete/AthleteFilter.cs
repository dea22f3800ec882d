using System.Runtime.CompilerServices;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// Orientation of people who travel, turn, fly and land: an error-state Kalman filter with tilt, horizontal velocity,
/// gyroscope bias and gyroscope scale, that judges by itself whether the person stays in place or travels.
/// </summary>
/// <remarks>
/// <para>
/// Between steps the gyroscope alone leads (exact exponential), so neither flight nor an impact can steer the tilt by
/// its direction. The specific force, turned into the level frame, integrates to a velocity: v' = f + tilt x f - g. A
/// person's velocity stays bounded, and that is what holds the tilt: two hypotheses run side by side, in place (it
/// changes its sign within a fraction of a second) and travelling (some metres per second that last for seconds). Each
/// is a first-order Gauss-Markov process, compared with the mean velocity of every 0.3 s; the likelihoods decide
/// (interacting multiple model: H. Blom, Y. Bar-Shalom, IEEE Trans. Automatic Control 33(8):780-783, 1988). A steady
/// filter of one hypothesis would have the response of VQF's low pass; here its time constant follows the motion.
/// </para>
/// <para>
/// At rest (found from the readings) the velocity is zero and the gyroscope shows its bias, both within the sway of a
/// standing person. Impacts and clipped readings, found from the readings too, widen the velocity. Samples are taken as
/// means over the interval that ends at their time, so the specific force is turned at its middle.
/// </para>
/// <para>With a magnetometer the heading follows as in <see cref="VqfFilter"/>; it never touches the tilt.</para>
/// </remarks>
public sealed partial class AthleteFilter : OrientationFilter
{
    private const double StandardGravity = Gravity.StandardMps2;

    private readonly AthleteCoefficients _coefficients;
    private readonly AthleteTrace? _trace;
    private AthleteState _state;

    /// <summary>A filter with options at a sample rate.</summary>
    /// <param name="options">What to tune.</param>
    /// <param name="sampleRateHz">Hz, 10 to 100000.</param>
    public AthleteFilter(AthleteOptions options, double sampleRateHz)
        : this(AthleteCoefficients.From(options, sampleRateHz))
    {
    }

    /// <summary>A filter with given coefficients, which several filters may share.</summary>
    public AthleteFilter(AthleteCoefficients coefficients)
        : this(coefficients, null)
    {
    }

    internal AthleteFilter(AthleteCoefficients coefficients, AthleteTrace? trace)
    {
        ArgumentNullException.ThrowIfNull(coefficients);
        _coefficients = coefficients;
        _trace = trace;
        _state = AthleteState.Start(coefficients);
    }

    /// <inheritdoc/>
    public override Rotation EarthFromSensor => _state.EarthFromLevelRad == 0
        ? _state.LevelFromSensor
        : Rotation.AboutVertical(_state.EarthFromLevelRad) * _state.LevelFromSensor;

    /// <inheritdoc/>
    public override Vector3D GyroscopeBiasSensorRadps => _state.BiasRadps;

    /// <inheritdoc/>
    public override double? GyroscopeBiasSigmaRadps =>
        Math.Max(_state.BiasSigmaRadps.X, Math.Max(_state.BiasSigmaRadps.Y, _state.BiasSigmaRadps.Z));

    /// <summary>Standard uncertainty of the gyroscope bias on each sensor axis, rad/s.</summary>
    public Vector3D GyroscopeBiasSigmaSensorRadps => _state.BiasSigmaRadps;

    /// <summary>Estimated gyroscope scale error per sensor axis: true rate = (1 - scale) (reading - bias).</summary>
    public Vector3D GyroscopeScaleErrorFraction => _state.Scale;

    /// <inheritdoc/>
    public override bool IsAtRest => _state.Rest.AtRest;

    /// <summary>Whether the magnetic field is considered disturbed; true before a reference field is known.</summary>
    public bool IsMagneticFieldDisturbed => _state.Magnetic.Disturbed;

    /// <summary>Probability that the person travels rather than moving in place, 0 to 1.</summary>
    public double TravellingProbability => _state.TravelProbability;

    /// <inheritdoc/>
    public override double IntervalS => _coefficients.IntervalS;

    private protected override ref SampleGate Gate => ref _state.Gate;

    internal ref readonly AthleteState State => ref _state;

    /// <summary>A copy of all that changes.</summary>
    public AthleteState Capture() => _state;

    /// <summary>Goes on from a captured state, exactly.</summary>
    public void Restore(AthleteState state) => _state = state;

    /// <inheritdoc/>
    public override void Reset() => _state = AthleteState.Start(_coefficients);

    /// <summary>One sample of a checked recording.</summary>
    internal void Take(in AthleteInput input, int i) =>
        Step(input.Rates[i], input.Forces[i], input.Marks.IsEmpty ? SampleMarks.None : input.Marks[i]);

    private protected override void Step(
        in Vector3D angularRate, in Vector3D specificForce, in Vector3D magneticField, SampleMarks marks)
    {
        Step(angularRate, specificForce, marks);
        if (magneticField != Vector3D.Zero)
        {
            ref var s = ref _state;
            s.EarthFromLevelRad = MagneticHeading.Step(
                ref s.Magnetic,
                _coefficients.Magnetic,
                s.EarthFromLevelRad,
                s.LevelFromSensor.Rotate(magneticField),
                s.Rest.MeanAngularRateRadps);
        }
    }

    private protected override void Step(in Vector3D angularRate, in Vector3D specificForce, SampleMarks marks)
    {
        var c = _coefficients;
        ref var s = ref _state;
        c.Rest.StepAngularRate(ref s.Rest, angularRate);
        c.Rest.StepSpecificForce(ref s.Rest, specificForce);
        if (!s.Levelled)
        {
            StartLevel(angularRate, specificForce);
            return;
        }

        var reading = angularRate - s.BiasRadps;
        var rate = new Vector3D(reading.X * (1 - s.Scale.X), reading.Y * (1 - s.Scale.Y), reading.Z * (1 - s.Scale.Z));
        // The specific force is a mean over the interval: turned by half of its rotation.
        var before = s.LevelFromSensor;
        var turning = s.Heading.Apply(rate, reading, s.BiasRadps, s.Scale, UpSensor(before));
        s.LevelFromSensor = VqfFilter.Integrate(before, turning, c.IntervalS);
        var middle = Middle(before, s.LevelFromSensor);
        var force = middle.Rotate(specificForce);
        Accumulate(ref s, middle, rate, force, specificForce.LengthSquared);
        WidenForFlaws(ref s, angularRate, specificForce, marks);
        if (++s.SamplesInStep == c.SamplesPerStep)
        {
            FinishStep(ref s);
        }
    }

    /// <summary>The vertical in the sensor frame: last row of the rotation matrix.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal static Vector3D UpSensor(in Rotation q) => new(
        2 * ((q.X * q.Z) - (q.W * q.Y)), 2 * ((q.Y * q.Z) + (q.W * q.X)), 1 - (2 * ((q.X * q.X) + (q.Y * q.Y))));

    /// <summary>Half way between two neighbouring rotations (their sum points there).</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Rotation Middle(in Rotation a, in Rotation b) =>
        new Rotation(a.W + b.W, a.X + b.X, a.Y + b.Y, a.Z + b.Z).Normalized();

    /// <summary>
    /// Start: the mean specific force of the first half second, in the frame of the first sample, shows the vertical. It
    /// takes longer when the force is too small to show one (a start in free flight).
    /// </summary>
    private void StartLevel(in Vector3D angularRate, in Vector3D specificForce)
    {
        const double ShortestS = 0.5;
        var c = _coefficients;
        ref var s = ref _state;
        // LevelFromSensor is levelFromFirst * firstFromSensor: levelling it anew with each sample keeps firstFromSensor up to a turn.
        s.LevelFromSensor = VqfFilter.Integrate(s.LevelFromSensor, angularRate, c.IntervalS);
        s.ForceSum += s.LevelFromSensor.Rotate(specificForce) * c.IntervalS;
        s.StartTimeS += c.IntervalS;
        if (s.ForceSum != Vector3D.Zero)
        {
            var correction = Rotation.Shortest(s.ForceSum, Vector3D.UnitZ);
            s.LevelFromSensor = (correction * s.LevelFromSensor).Normalized();
            s.ForceSum = correction.Rotate(s.ForceSum);
        }

        var meanForce = s.ForceSum.Length / s.StartTimeS;
        if (s.StartTimeS < ShortestS - (0.5 * c.IntervalS) || meanForce < 0.5 * StandardGravity)
        {
            return;
        }

        // A mean that is not g was taken in motion: by as much, as an angle, it may point elsewhere.
        var tilt = (10 * Angles.RadPerDeg) + (Math.Abs(meanForce - StandardGravity) / StandardGravity);
        var bias = c.Options.InitialBiasSigmaDps * Angles.RadPerDeg;
        s.InPlace.Start(tilt, bias, c.Options.ScaleSigmaFraction, 2);
        s.Travel.Start(tilt, bias, c.Options.ScaleSigmaFraction, 2);
        s.Levelled = true;
    }

    private void Accumulate(ref AthleteState s, in Rotation q, in Vector3D rate, in Vector3D force, double forceSquared)
    {
        var c = _coefficients;
        var dt = c.IntervalS;
        var xx = 1 - (2 * ((q.Y * q.Y) + (q.Z * q.Z)));
        var xy = 2 * ((q.X * q.Y) - (q.W * q.Z));
        var xz = 2 * ((q.X * q.Z) + (q.W * q.Y));
        var yx = 2 * ((q.X * q.Y) + (q.W * q.Z));
        var yy = 1 - (2 * ((q.X * q.X) + (q.Z * q.Z)));
        var yz = 2 * ((q.Y * q.Z) - (q.W * q.X));
        var angle = dt * rate;
        ref var sums = ref s.Sums;
        sums.Xx += dt * xx;
        sums.Xy += dt * xy;
        sums.Xz += dt * xz;
        sums.Yx += dt * yx;
        sums.Yy += dt * yy;
        sums.Yz += dt * yz;
        sums.RateXx += angle.X * xx;
        sums.RateXy += angle.Y * xy;
        sums.RateXz += angle.Z * xz;
        sums.RateYx += angle.X * yx;
        sums.RateYy += angle.Y * yy;
        sums.RateYz += angle.Z * yz;
        sums.VerticalForce += dt * force.Z;
        sums.TimeS += dt;
        sums.TiltVariance += c.AngleVariance + (c.RateAngleVariance * rate.LengthSquared);
        var up = force.Z - StandardGravity;
        sums.VelocityVariance += c.SpeedVariance
            + (c.ForceSpeedVariance * ((force.X * force.X) + (force.Y * force.Y) + (up * up)));
        if (forceSquared > c.ImpactForceSquared)
        {
            sums.VelocityVariance += c.ImpactSpeedVariance;
        }

        s.VelocityX += dt * force.X;
        s.VelocityY += dt * force.Y;
        s.PathX += dt * s.VelocityX;
        s.PathY += dt * s.VelocityY;
        s.StretchTimeS += dt;
    }

    /// <summary>
    /// Clipped and bridged readings. Common practice, no source: a converter at its rail repeats one extreme value, which
    /// noise never does; the limits are those of the smallest usual ranges (4 g, 500 deg/s).
    /// </summary>
    private void WidenForFlaws(ref AthleteState s, in Vector3D rate, in Vector3D force, SampleMarks marks)
    {
        const double SmallestForceRail = 4 * StandardGravity;
        const double SmallestRateRail = 500 * Angles.RadPerDeg;
        const double ClippedRateSigma = 3;
        const double BridgedForceSigma = 5;
        const double BridgedRateSigma = 0.5;
        var c = _coefficients;
        if ((marks & SampleMarks.AccelerometerSaturated) != SampleMarks.None || Repeats(force, s.LastForce, SmallestForceRail))
        {
            s.Sums.VelocityVariance += c.ClippedSpeedVariance;
        }

        if ((marks & SampleMarks.GyroscopeSaturated) != SampleMarks.None || Repeats(rate, s.LastRate, SmallestRateRail))
        {
            s.Sums.TiltVariance += ClippedRateSigma * ClippedRateSigma * c.IntervalS * c.IntervalS;
        }

        if ((marks & SampleMarks.Bridged) != SampleMarks.None)
        {
            s.Sums.VelocityVariance += BridgedForceSigma * BridgedForceSigma * c.IntervalS * c.IntervalS;
            s.Sums.TiltVariance += BridgedRateSigma * BridgedRateSigma * c.IntervalS * c.IntervalS;
        }

        s.LastForce = force;
        s.LastRate = rate;
    }

    private static bool Repeats(in Vector3D value, in Vector3D last, double rail) =>
        (value.X == last.X && Math.Abs(value.X) > rail)
        || (value.Y == last.Y && Math.Abs(value.Y) > rail)
        || (value.Z == last.Z && Math.Abs(value.Z) > rail);
}
