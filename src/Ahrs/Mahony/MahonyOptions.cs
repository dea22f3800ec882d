namespace Saltograph.Ahrs;

/// <summary>What a person may tune in <see cref="MahonyFilter"/>; independent of the sample rate.</summary>
public sealed record MahonyOptions
{
    /// <summary>
    /// kP of the paper, 1/s, 0 to 100, default 0.5. Small trusts the gyroscope and shows its bias as tilt (bias / kP); large follows
    /// the accelerometer in motion and flight. The time constant of the tilt correction is 1/kP.
    /// </summary>
    public double ProportionalGainPerS { get; init; } = 0.5;

    /// <summary>
    /// kI of the paper, 1/s2, 0 to 10, default 0.003. Small learns the bias slowly; large takes motion for bias. Above kP^2/4 the
    /// correction overshoots. 0 estimates no bias.
    /// </summary>
    public double IntegralGainPerS2 { get; init; } = 0.003;

    /// <summary>Largest bias, deg/s per axis, above 0 to 100, default 2: the integral must not run away in long motion.</summary>
    public double BiasLimitDps { get; init; } = 2;

    /// <summary>Throws <see cref="ArgumentOutOfRangeException"/> for the first value outside its range.</summary>
    public void Validate()
    {
        Allowed.Range(ProportionalGainPerS, 0, 100);
        Allowed.Range(IntegralGainPerS2, 0, 10);
        Allowed.Range(BiasLimitDps, 1e-9, 100);
    }
}
