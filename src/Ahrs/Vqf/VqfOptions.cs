namespace Saltograph.Ahrs;

/// <summary>
/// What a person may tune in <see cref="VqfFilter"/>; independent of the sample rate. The defaults are those of the
/// paper (Laidig, Seel: Information Fusion 91:187-204, 2023).
/// </summary>
public sealed record VqfOptions
{
    /// <summary>
    /// Time constant of the low pass on the specific force, s, 0 to 1000, default 3. Small follows the accelerometer and
    /// suffers from motion; large trusts the gyroscope and suffers from its bias. Cut-off = sqrt(2)/(2 pi tau).
    /// </summary>
    public double AccelerometerTimeConstantS { get; init; } = 3;

    /// <summary>
    /// Time constant of the heading correction, s, 0 to 10000, default 9. Small follows the magnetometer, large the
    /// gyroscope. 0 takes the heading of each sample as it is.
    /// </summary>
    public double MagnetometerTimeConstantS { get; init; } = 9;

    /// <summary>Whether the bias is also estimated in motion (from the tilt correction). Default true.</summary>
    public bool MotionBiasEstimation { get; init; } = true;

    /// <summary>Whether the bias is estimated at rest (from the gyroscope mean). Default true.</summary>
    public bool RestBiasEstimation { get; init; } = true;

    /// <summary>Whether samples with an unusual magnetic norm or dip are kept out of the heading. Default true.</summary>
    public bool MagneticDisturbanceRejection { get; init; } = true;

    /// <summary>Standard deviation of the unknown bias at the start, deg/s, above 0 to 100, default 0.5. Large learns faster at first.</summary>
    public double InitialBiasSigmaDps { get; init; } = 0.5;

    /// <summary>Time in which an unobserved bias grows to 0.1 deg/s of uncertainty, s, above 0 to 1e6, default 100. Small follows quick bias changes, noisier.</summary>
    public double BiasForgettingTimeS { get; init; } = 100;

    /// <summary>Largest bias, deg/s per axis, above 0 to 100, default 2. Also the largest innovation, and the largest mean rate at rest.</summary>
    public double BiasLimitDps { get; init; } = 2;

    /// <summary>Bias uncertainty in steady motion, deg/s, above 0 to 10, default 0.1. Small averages longer.</summary>
    public double MotionBiasSigmaDps { get; init; } = 0.1;

    /// <summary>
    /// Pull of the vertical bias to zero in motion, as share of the trust in the horizontal one, above 0 to 1, default 0.0001.
    /// Large keeps the unobservable vertical bias near zero even when it is not.
    /// </summary>
    public double VerticalForgettingFactor { get; init; } = 0.0001;

    /// <summary>Bias uncertainty at rest, deg/s, above 0 to 10, default 0.03. Small averages longer.</summary>
    public double RestBiasSigmaDps { get; init; } = 0.03;

    /// <summary>How long it must be still before it counts as rest, s, 0 to 100, default 1.5.</summary>
    public double RestMinimumTimeS { get; init; } = 1.5;

    /// <summary>Time constant of the low pass in the rest detection, s, 0 to 100, default 0.5.</summary>
    public double RestFilterTimeConstantS { get; init; } = 0.5;

    /// <summary>Largest deviation of the rate from its low-passed value at rest, deg/s, above 0 to 100, default 2. Large takes slow motion for rest.</summary>
    public double RestAngularRateLimitDps { get; init; } = 2;

    /// <summary>Largest deviation of the specific force from its low-passed value at rest, m/s2, above 0 to 10, default 0.5.</summary>
    public double RestSpecificForceLimitMps2 { get; init; } = 0.5;

    /// <summary>Time constant of the low pass on magnetic norm and dip, s, 0 to 100, default 0.05; 0 switches it off.</summary>
    public double MagneticFilterTimeConstantS { get; init; } = 0.05;

    /// <summary>Time constant with which norm and dip of the reference field follow, s, 0 to 1e4, default 20.</summary>
    public double MagneticReferenceTimeConstantS { get; init; } = 20;

    /// <summary>Largest relative deviation from the reference norm, above 0 to 1, default 0.1. Small rejects more.</summary>
    public double MagneticNormTolerance { get; init; } = 0.1;

    /// <summary>Largest deviation from the reference dip, deg, above 0 to 90, default 10. Small rejects more.</summary>
    public double MagneticDipToleranceDeg { get; init; } = 10;

    /// <summary>How long a new homogeneous field must be met in motion before it becomes the reference, s, 0 to 1e4, default 20.</summary>
    public double MagneticNewFieldTimeS { get; init; } = 20;

    /// <summary>The same for the very first reference, s, 0 to 1e4, default 5.</summary>
    public double MagneticFirstFieldTimeS { get; init; } = 5;

    /// <summary>Low-passed angular rate above which that time counts, deg/s, 0 to 1000, default 20: a field met only at one place is no field.</summary>
    public double MagneticNewFieldRateDps { get; init; } = 20;

    /// <summary>How long the field must fit before a disturbance is over, s, 0 to 100, default 0.5.</summary>
    public double MagneticMinimumUndisturbedTimeS { get; init; } = 0.5;

    /// <summary>How long disturbed samples are left out altogether, s, 0 to 1e4, default 60; after that they count weakly.</summary>
    public double MagneticMaximumRejectionTimeS { get; init; } = 60;

    /// <summary>How much weaker they then count, and how fast the rejection time recovers, 1 to 1000, default 2.</summary>
    public double MagneticRejectionFactor { get; init; } = 2;

    /// <summary>
    /// Offline only. What counts as disturbed when the two directions disagree: false (default, the reference) when both
    /// say so, true when either does. True keeps the edges of a disturbance out, because each direction notices it late.
    /// </summary>
    public bool OfflineEitherDirectionDisturbed { get; init; }

    /// <summary>The basic variant of the paper: no bias estimation, no disturbance rejection.</summary>
    public static VqfOptions Basic => new()
    {
        MotionBiasEstimation = false,
        RestBiasEstimation = false,
        MagneticDisturbanceRejection = false,
    };

    /// <summary>Throws <see cref="ArgumentOutOfRangeException"/> for the first value outside its range.</summary>
    public void Validate()
    {
        const double Tiny = 1e-9;
        Allowed.Range(AccelerometerTimeConstantS, 0, 1000);
        Allowed.Range(MagnetometerTimeConstantS, 0, 10_000);
        Allowed.Range(InitialBiasSigmaDps, Tiny, 100);
        Allowed.Range(BiasForgettingTimeS, Tiny, 1e6);
        Allowed.Range(BiasLimitDps, Tiny, 100);
        Allowed.Range(MotionBiasSigmaDps, Tiny, 10);
        Allowed.Range(VerticalForgettingFactor, Tiny, 1);
        Allowed.Range(RestBiasSigmaDps, Tiny, 10);
        Allowed.Range(RestMinimumTimeS, 0, 100);
        Allowed.Range(RestFilterTimeConstantS, 0, 100);
        Allowed.Range(RestAngularRateLimitDps, Tiny, 100);
        Allowed.Range(RestSpecificForceLimitMps2, Tiny, 10);
        Allowed.Range(MagneticFilterTimeConstantS, 0, 100);
        Allowed.Range(MagneticReferenceTimeConstantS, 0, 1e4);
        Allowed.Range(MagneticNormTolerance, Tiny, 1);
        Allowed.Range(MagneticDipToleranceDeg, Tiny, 90);
        Allowed.Range(MagneticNewFieldTimeS, 0, 1e4);
        Allowed.Range(MagneticFirstFieldTimeS, 0, 1e4);
        Allowed.Range(MagneticNewFieldRateDps, 0, 1000);
        Allowed.Range(MagneticMinimumUndisturbedTimeS, 0, 100);
        Allowed.Range(MagneticMaximumRejectionTimeS, 0, 1e4);
        Allowed.Range(MagneticRejectionFactor, 1, 1000);
    }
}
