using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>What follows from <see cref="AthleteOptions"/> and the sample rate, derived once. Immutable; may be shared by filters.</summary>
public sealed class AthleteCoefficients
{
    /// <summary>Length of one step of the error filter, s; the tilt changes by the gyroscope alone inside it.</summary>
    internal const double StepS = 0.1;

    /// <summary>Steps in the stretch whose mean velocity is compared with what a person does.</summary>
    internal const int StepsPerStretch = 3;

    private AthleteCoefficients(AthleteOptions options, double sampleRateHz)
    {
        Options = options;
        IntervalS = 1 / sampleRateHz;
        SamplesPerStep = Math.Max(1, (int)Math.Round(StepS * sampleRateHz));
        var stepS = SamplesPerStep * IntervalS;
        var stretchS = StepsPerStretch * stepS;
        InPlace = new(options.InPlaceSpeedMps, options.InPlaceCorrelationTimeS, stretchS);
        Travel = new(options.TravelSpeedMps, options.TravelCorrelationTimeS, stretchS);
        RegimeChange = Math.Min(0.5, stretchS / options.RegimeTimeS);

        AngleVariance = Square(options.AngleRandomWalkRadPerRootS) * IntervalS;
        RateAngleVariance = Square(options.RateProportionalWalkPerRootS) * IntervalS;
        BiasVariance = Square(options.BiasWalkDpsPerRootS * Angles.RadPerDeg) * stepS;
        SpeedVariance = Square(options.AccelerometerNoiseMps2PerRootHz) * IntervalS;
        ForceSpeedVariance = Square(options.AccelerometerProportionalNoisePerRootHz) * IntervalS;
        ImpactForceSquared = Square(options.ImpactForceMps2);
        ImpactSpeedVariance = Square(options.ImpactSpeedSigmaMps) * IntervalS / 0.02;
        ClippedSpeedVariance = Square(options.ClippedForceSigmaMps2 * IntervalS);

        // A sway that lasts is measured again and again: its variance per step grows by how many steps it spans.
        var repeats = Math.Max(1, options.RestCorrelationTimeS / stepS);
        RestRepeats = repeats;
        RestSpeedVariance = Square(options.RestSpeedSigmaMps) * repeats;
        RestRateVariance = Square(options.RestRateSigmaDps * Angles.RadPerDeg) * repeats;
        Rest = new(RestLimits.Default, IntervalS, IntervalS);
        Magnetic = VqfCoefficients.From(options.Magnetic, sampleRateHz);
    }

    /// <summary>The options they come from.</summary>
    public AthleteOptions Options { get; }

    /// <summary>Sample interval, s.</summary>
    public double IntervalS { get; }

    internal int SamplesPerStep { get; }

    internal SpeedModel InPlace { get; }

    internal SpeedModel Travel { get; }

    internal double RegimeChange { get; }

    internal double AngleVariance { get; }

    internal double RateAngleVariance { get; }

    internal double BiasVariance { get; }

    internal double SpeedVariance { get; }

    internal double ForceSpeedVariance { get; }

    internal double ImpactForceSquared { get; }

    internal double ImpactSpeedVariance { get; }

    internal double ClippedSpeedVariance { get; }

    internal double RestRepeats { get; }

    internal double RestSpeedVariance { get; }

    internal double RestRateVariance { get; }

    internal RestDetector Rest { get; }

    internal VqfCoefficients Magnetic { get; }

    /// <summary>Derives and checks.</summary>
    /// <param name="options">What to tune.</param>
    /// <param name="sampleRateHz">Hz, 10 to 100000: below, a step would be too coarse.</param>
    /// <exception cref="ArgumentOutOfRangeException">A value is outside its range.</exception>
    public static AthleteCoefficients From(AthleteOptions options, double sampleRateHz)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        Allowed.Range(sampleRateHz, 10, 100_000);
        return new(options, sampleRateHz);
    }

    private static double Square(double value) => value * value;
}

/// <summary>
/// What a person's velocity does: a first-order Gauss-Markov process. From one stretch to the next
/// v' = Keep v + noise of <see cref="Variance"/>, which leaves its standard deviation at the given speed.
/// </summary>
internal readonly record struct SpeedModel
{
    public SpeedModel(double speedMps, double correlationTimeS, double stretchS)
    {
        Keep = Math.Exp(-stretchS / correlationTimeS);
        StartVariance = speedMps * speedMps;
        Variance = StartVariance * (1 - (Keep * Keep));
    }

    public double Keep { get; }

    public double Variance { get; }

    /// <summary>For the first stretch, which has none before it.</summary>
    public double StartVariance { get; }
}
