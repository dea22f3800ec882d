namespace Saltograph.Ahrs;

/// <summary>The filters by name.</summary>
public enum OrientationMethod
{
    /// <summary><see cref="VqfFilter"/>.</summary>
    Vqf = 0,

    /// <summary><see cref="MadgwickFilter"/>.</summary>
    Madgwick = 1,

    /// <summary><see cref="MahonyFilter"/>.</summary>
    Mahony = 2,

    /// <summary><see cref="AthleteFilter"/>.</summary>
    Athlete = 3,
}

/// <summary>What <see cref="OrientationRun"/> shall do.</summary>
public sealed record OrientationRunOptions
{
    /// <summary>Which filter. Default VQF.</summary>
    public OrientationMethod Method { get; init; }

    /// <summary>Forward and backward for VQF, smoothing for the athlete filter. Default false. The others have no such form.</summary>
    public bool Offline { get; init; }

    /// <summary>Options of VQF.</summary>
    public VqfOptions Vqf { get; init; } = new();

    /// <summary>Options of Madgwick's filter.</summary>
    public MadgwickOptions Madgwick { get; init; } = new();

    /// <summary>Options of Mahony's filter.</summary>
    public MahonyOptions Mahony { get; init; } = new();

    /// <summary>Options of the athlete filter.</summary>
    public AthleteOptions Athlete { get; init; } = new();

    /// <summary>Whether the method has an offline form.</summary>
    public static bool HasOffline(OrientationMethod method) => method is OrientationMethod.Vqf or OrientationMethod.Athlete;

    /// <summary>Whether the chosen filter estimates a gyroscope bias.</summary>
    public bool EstimatesBias => Method switch
    {
        OrientationMethod.Vqf => Vqf.MotionBiasEstimation || Vqf.RestBiasEstimation,
        OrientationMethod.Madgwick => Madgwick.DriftGainPerS > 0,
        OrientationMethod.Mahony => Mahony.IntegralGainPerS2 > 0,
        _ => true,
    };

    /// <summary>Throws <see cref="ArgumentException"/> for the first value that is not allowed.</summary>
    public void Validate()
    {
        if (Offline && !HasOffline(Method))
        {
            throw new ArgumentException($"{Method} has no offline form; allowed: Vqf, Athlete.", nameof(Offline));
        }

        Vqf.Validate();
        Madgwick.Validate();
        Mahony.Validate();
        Athlete.Validate();
    }

    internal OrientationFilter Create(double sampleRateHz) => Method switch
    {
        OrientationMethod.Vqf => new VqfFilter(Vqf, sampleRateHz),
        OrientationMethod.Madgwick => new MadgwickFilter(Madgwick, sampleRateHz),
        OrientationMethod.Mahony => new MahonyFilter(Mahony, sampleRateHz),
        OrientationMethod.Athlete => new AthleteFilter(Athlete, sampleRateHz),
        _ => throw new ArgumentOutOfRangeException(nameof(sampleRateHz), $"Method is {Method}; allowed: Vqf, Madgwick, Mahony, Athlete."),
    };
}
