using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>What follows from <see cref="VqfOptions"/> and the sample rates, derived once. Immutable; may be shared by filters.</summary>
public sealed class VqfCoefficients
{
    /// <summary>Rad/s per unit of the bias Kalman filter, which counts in 0.01 deg/s to keep its numbers near 1.</summary>
    internal const double RadpsPerBiasUnit = Angles.RadPerDeg / 100;

    // Handed out by reference: 200 bytes each, read once or more per sample.
    private readonly SettlingLowPass _specificForce;
    private readonly SettlingLowPass _magneticNormDip;

    private VqfCoefficients(VqfOptions options, double gyroscopeRateHz, double accelerometerRateHz, double magnetometerRateHz)
    {
        Options = options;
        GyroscopeIntervalS = 1 / gyroscopeRateHz;
        AccelerometerIntervalS = 1 / accelerometerRateHz;
        MagnetometerIntervalS = 1 / magnetometerRateHz;

        _specificForce = new(options.AccelerometerTimeConstantS, AccelerometerIntervalS);
        _magneticNormDip = new(options.MagneticFilterTimeConstantS, MagnetometerIntervalS);

        EstimatesBias = options.MotionBiasEstimation || options.RestBiasEstimation;
        DetectsRest = options.RestBiasEstimation || options.MagneticDisturbanceRejection;

        // Units of 0.01 deg/s. Without a measurement the variance grows by (0.1 deg/s)^2 in the forgetting time.
        InitialBiasVariance = Square(100 * options.InitialBiasSigmaDps);
        BiasVarianceGrowth = Square(0.1 * 100) * AccelerometerIntervalS / options.BiasForgettingTimeS;
        // The steady state of a scalar Kalman filter, p^2 = V (w + p), solved for w: the wanted variance p is an option.
        MotionNoise = NoiseFor(Square(100 * options.MotionBiasSigmaDps));
        VerticalNoise = MotionNoise / options.VerticalForgettingFactor;
        RestNoise = NoiseFor(Square(100 * options.RestBiasSigmaDps));
        BiasLimitRadps = options.BiasLimitDps * Angles.RadPerDeg;

        Rest = new(
            new RestLimits(
                options.RestMinimumTimeS,
                options.RestFilterTimeConstantS,
                options.RestAngularRateLimitDps * Angles.RadPerDeg,
                options.RestSpecificForceLimitMps2,
                BiasLimitRadps),
            GyroscopeIntervalS,
            AccelerometerIntervalS);

        HeadingGain = Gain(options.MagnetometerTimeConstantS);
        ReferenceGain = Gain(options.MagneticReferenceTimeConstantS);
        DipToleranceRad = options.MagneticDipToleranceDeg * Angles.RadPerDeg;
        NewFieldRateRadps = options.MagneticNewFieldRateDps * Angles.RadPerDeg;
    }

    /// <summary>The options they come from.</summary>
    public VqfOptions Options { get; }

    /// <summary>Gyroscope sample interval, s.</summary>
    public double GyroscopeIntervalS { get; }

    /// <summary>Accelerometer sample interval, s.</summary>
    public double AccelerometerIntervalS { get; }

    /// <summary>Magnetometer sample interval, s.</summary>
    public double MagnetometerIntervalS { get; }

    internal ref readonly SettlingLowPass SpecificForce => ref _specificForce;

    internal RestDetector Rest { get; }

    internal ref readonly SettlingLowPass MagneticNormDip => ref _magneticNormDip;

    internal bool EstimatesBias { get; }

    internal bool DetectsRest { get; }

    internal double InitialBiasVariance { get; }

    internal double BiasVarianceGrowth { get; }

    internal double MotionNoise { get; }

    internal double VerticalNoise { get; }

    internal double RestNoise { get; }

    internal double BiasLimitRadps { get; }

    internal double HeadingGain { get; }

    internal double ReferenceGain { get; }

    internal double DipToleranceRad { get; }

    internal double NewFieldRateRadps { get; }

    /// <summary>For sensors that share one sample rate.</summary>
    /// <param name="options">What to tune; checked here.</param>
    /// <param name="sampleRateHz">Sample rate of all sensors, Hz, 1 to 100000.</param>
    /// <exception cref="ArgumentOutOfRangeException">A value is outside its range.</exception>
    public static VqfCoefficients From(VqfOptions options, double sampleRateHz) =>
        From(options, sampleRateHz, sampleRateHz, sampleRateHz);

    /// <summary>For sensors with a rate each, fed through the three single updates of <see cref="VqfFilter"/>.</summary>
    /// <param name="options">What to tune; checked here.</param>
    /// <param name="gyroscopeRateHz">Hz, 1 to 100000.</param>
    /// <param name="accelerometerRateHz">Hz, 1 to 100000.</param>
    /// <param name="magnetometerRateHz">Hz, 1 to 100000.</param>
    /// <exception cref="ArgumentOutOfRangeException">A value is outside its range.</exception>
    public static VqfCoefficients From(
        VqfOptions options, double gyroscopeRateHz, double accelerometerRateHz, double magnetometerRateHz)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        Allowed.Rate(gyroscopeRateHz);
        Allowed.Rate(accelerometerRateHz);
        Allowed.Rate(magnetometerRateHz);
        return new(options, gyroscopeRateHz, accelerometerRateHz, magnetometerRateHz);
    }

    private static double Square(double value) => value * value;

    private double NoiseFor(double steadyVariance) => (steadyVariance * steadyVariance / BiasVarianceGrowth) + steadyVariance;

    private double Gain(double timeConstantS) => timeConstantS > 0 ? 1 - Math.Exp(-MagnetometerIntervalS / timeConstantS) : 1;
}
