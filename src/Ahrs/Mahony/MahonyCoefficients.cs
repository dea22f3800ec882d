using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>What follows from <see cref="MahonyOptions"/> and the sample rate, derived once. Immutable.</summary>
public sealed class MahonyCoefficients
{
    private MahonyCoefficients(MahonyOptions options, double sampleRateHz)
    {
        Options = options;
        IntervalS = 1 / sampleRateHz;
        BiasLimitRadps = options.BiasLimitDps * Angles.RadPerDeg;
        Rest = new(RestLimits.Default, IntervalS, IntervalS);
    }

    /// <summary>The options they come from.</summary>
    public MahonyOptions Options { get; }

    /// <summary>Sample interval, s.</summary>
    public double IntervalS { get; }

    internal double BiasLimitRadps { get; }

    internal RestDetector Rest { get; }

    /// <summary>Derives and checks.</summary>
    /// <param name="options">What to tune.</param>
    /// <param name="sampleRateHz">Hz, 1 to 100000.</param>
    /// <exception cref="ArgumentOutOfRangeException">A value is outside its range.</exception>
    public static MahonyCoefficients From(MahonyOptions options, double sampleRateHz)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        Allowed.Rate(sampleRateHz);
        return new(options, sampleRateHz);
    }
}
