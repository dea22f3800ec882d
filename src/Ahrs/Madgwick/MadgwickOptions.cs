namespace Saltograph.Ahrs;

/// <summary>What a person may tune in <see cref="MadgwickFilter"/>; independent of the sample rate.</summary>
public sealed record MadgwickOptions
{
    /// <summary>
    /// Beta of the report, 1/s, 0 to 10, default 0.03: the speed of the quaternion along the normalised gradient (twice that in rad/s).
    /// Small cannot hold against the gyroscope bias (below sqrt(3)/2 times the bias it drifts away); large shakes in motion.
    /// </summary>
    public double GainPerS { get; init; } = 0.03;

    /// <summary>Zeta of the report, 1/s, 0 to 1, default 0: the rate of gyroscope drift that is compensated. Large takes motion for bias.</summary>
    public double DriftGainPerS { get; init; }

    /// <summary>Largest bias, deg/s per axis, above 0 to 100, default 2.</summary>
    public double BiasLimitDps { get; init; } = 2;

    /// <summary>Throws <see cref="ArgumentOutOfRangeException"/> for the first value outside its range.</summary>
    public void Validate()
    {
        Allowed.Range(GainPerS, 0, 10);
        Allowed.Range(DriftGainPerS, 0, 1);
        Allowed.Range(BiasLimitDps, 1e-9, 100);
    }
}
