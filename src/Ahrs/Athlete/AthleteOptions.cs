namespace Saltograph.Ahrs;

/// <summary>
/// What a person may tune in <see cref="AthleteFilter"/>; independent of the sample rate. The defaults were chosen on half
/// of the trials and confirmed on the other half (README); what changing them does stands in decision 0020.
/// </summary>
public sealed record AthleteOptions
{
    /// <summary>
    /// Standard deviation of the horizontal velocity (each component) while staying in place, m/s, 0.05 to 5, default 0.65.
    /// Small levels faster and takes real motion for tilt; must stay well below the travelling change of velocity in 0.3 s (1.1 m/s).
    /// </summary>
    public double InPlaceSpeedMps { get; init; } = 0.65;

    /// <summary>How long such a velocity lasts, s, 0.05 to 5, default 0.25.</summary>
    public double InPlaceCorrelationTimeS { get; init; } = 0.25;

    /// <summary>Standard deviation of the horizontal velocity (each component) while travelling, m/s, 0.5 to 30, default 6. Large trusts the gyroscope alone.</summary>
    public double TravelSpeedMps { get; init; } = 6;

    /// <summary>How long a travelling velocity lasts, s, 0.5 to 100, default 18. Small takes long curves for tilt.</summary>
    public double TravelCorrelationTimeS { get; init; } = 18;

    /// <summary>Mean time between starting and ending to travel, s, 5 to 10000, default 200. Small changes its mind sooner and mixes the two more.</summary>
    public double RegimeTimeS { get; init; } = 200;

    /// <summary>Angle random walk of the gyroscope, rad/sqrt(s), 1e-6 to 0.1, default 0.001 (3.4 deg/sqrt(h)), wide enough for mounting on skin.</summary>
    public double AngleRandomWalkRadPerRootS { get; init; } = 0.001;

    /// <summary>
    /// Further angle random walk per rad/s of rotation, sqrt(s), 0 to 0.1, default 0.001: axes that are not square, timing,
    /// curvature of the scale. Large trusts a turning gyroscope less.
    /// </summary>
    public double RateProportionalWalkPerRootS { get; init; } = 0.001;

    /// <summary>Standard deviation of the unknown gyroscope bias at the start, deg/s, 0.001 to 20, default 0.5.</summary>
    public double InitialBiasSigmaDps { get; init; } = 0.5;

    /// <summary>Random walk of the gyroscope bias, deg/s/sqrt(s), 0 to 1, default 0.005. Large forgets a rest sooner.</summary>
    public double BiasWalkDpsPerRootS { get; init; } = 0.005;

    /// <summary>Standard deviation of the unknown gyroscope scale error, 0 to 0.1, default 0.003 (0.3 %).</summary>
    public double ScaleSigmaFraction { get; init; } = 0.003;

    /// <summary>Accelerometer noise, m/s2/sqrt(Hz), 1e-5 to 1, default 0.003.</summary>
    public double AccelerometerNoiseMps2PerRootHz { get; init; } = 0.003;

    /// <summary>Further accelerometer noise per m/s2 of acceleration, 1/sqrt(Hz), 0 to 0.1, default 0.0006.</summary>
    public double AccelerometerProportionalNoisePerRootHz { get; init; } = 0.0006;

    /// <summary>Magnitude of specific force that counts as impact, m/s2, 15 to 1000, default 60. Small widens the noise of ordinary motion too.</summary>
    public double ImpactForceMps2 { get; init; } = 60;

    /// <summary>How unsure the velocity gets in 20 ms of impact, m/s, 0 to 20, default 2: ringing, soft tissue, the range of the sensor.</summary>
    public double ImpactSpeedSigmaMps { get; init; } = 2;

    /// <summary>How wrong a clipped acceleration may be, m/s2, 0 to 1000, default 60. Clipping is seen as a repeated extreme reading, or marked.</summary>
    public double ClippedForceSigmaMps2 { get; init; } = 60;

    /// <summary>Velocity left at rest, m/s, 0.001 to 1, default 0.02: people sway.</summary>
    public double RestSpeedSigmaMps { get; init; } = 0.02;

    /// <summary>Rate left at rest, deg/s, 0.001 to 5, default 0.15: people sway, so a standing mean is no bias reference.</summary>
    public double RestRateSigmaDps { get; init; } = 0.15;

    /// <summary>How long a sway lasts, s, 0.01 to 10, default 0.5. Large trusts each second of rest less.</summary>
    public double RestCorrelationTimeS { get; init; } = 0.5;

    /// <summary>Heading correction and disturbance rejection when a magnetometer is given: the magnetic part of these options.</summary>
    public VqfOptions Magnetic { get; init; } = new();

    /// <summary>Throws <see cref="ArgumentOutOfRangeException"/> for the first value outside its range.</summary>
    public void Validate()
    {
        Allowed.Range(InPlaceSpeedMps, 0.05, 5);
        Allowed.Range(InPlaceCorrelationTimeS, 0.05, 5);
        Allowed.Range(TravelSpeedMps, 0.5, 30);
        Allowed.Range(TravelCorrelationTimeS, 0.5, 100);
        Allowed.Range(RegimeTimeS, 5, 10_000);
        Allowed.Range(AngleRandomWalkRadPerRootS, 1e-6, 0.1);
        Allowed.Range(RateProportionalWalkPerRootS, 0, 0.1);
        Allowed.Range(InitialBiasSigmaDps, 0.001, 20);
        Allowed.Range(BiasWalkDpsPerRootS, 0, 1);
        Allowed.Range(ScaleSigmaFraction, 0, 0.1);
        Allowed.Range(AccelerometerNoiseMps2PerRootHz, 1e-5, 1);
        Allowed.Range(AccelerometerProportionalNoisePerRootHz, 0, 0.1);
        Allowed.Range(ImpactForceMps2, 15, 1000);
        Allowed.Range(ImpactSpeedSigmaMps, 0, 20);
        Allowed.Range(ClippedForceSigmaMps2, 0, 1000);
        Allowed.Range(RestSpeedSigmaMps, 0.001, 1);
        Allowed.Range(RestRateSigmaDps, 0.001, 5);
        Allowed.Range(RestCorrelationTimeS, 0.01, 10);
        Magnetic.Validate();
    }
}
