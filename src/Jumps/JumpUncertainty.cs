namespace Saltograph.Jumps;

/// <summary>
/// Standard uncertainties (k = 1, JCGM 100:2008) of the values of a <see cref="JumpRecord"/>, under the same names and in the
/// same units; null where the value was not measured or nothing is known about how sure it is.
/// </summary>
public sealed record JumpUncertainty
{
    /// <summary>Of the take-off, s.</summary>
    public double? TakeoffS { get; init; }

    /// <summary>Of the highest point, s.</summary>
    public double? PeakS { get; init; }

    /// <summary>Of the landing, s.</summary>
    public double? LandingS { get; init; }

    /// <summary>Of the flight time, s.</summary>
    public double? FlightTimeS { get; init; }

    /// <summary>Of the height, m.</summary>
    public double? HeightM { get; init; }

    /// <summary>Of the height from flight time, m: what the landing posture does to it is part of it.</summary>
    public double? HeightFlightTimeM { get; init; }

    /// <summary>Of the height from take-off velocity, m.</summary>
    public double? HeightTakeoffVelocityM { get; init; }

    /// <summary>Of the take-off velocity, m/s.</summary>
    public double? TakeoffVelocityMps { get; init; }

    /// <summary>Of the turn during preparation, deg.</summary>
    public double? TurnPreparationDeg { get; init; }

    /// <summary>Of the turn in the air, deg.</summary>
    public double? TurnFlightDeg { get; init; }

    /// <summary>Of the rate at take-off, deg/s.</summary>
    public double? TurnRateTakeoffDps { get; init; }

    /// <summary>Of the rate at the peak, deg/s.</summary>
    public double? TurnRateTopDps { get; init; }

    /// <summary>Of the largest split, deg.</summary>
    public double? SplitAngleDeg { get; init; }

    /// <summary>Of the split at the peak, deg.</summary>
    public double? SplitAngleAtPeakDeg { get; init; }

    /// <summary>Of the absorption time, s.</summary>
    public double? AbsorptionTimeS { get; init; }

    /// <summary>Of the absorption depth, m.</summary>
    public double? AbsorptionDepthM { get; init; }

    /// <summary>Of the rise of the trunk, m.</summary>
    public double? TrunkRiseM { get; init; }

    /// <summary>Of the crouch depth, m.</summary>
    public double? CrouchDepthM { get; init; }

    /// <summary>Of the push-off time, s.</summary>
    public double? PushOffTimeS { get; init; }

    /// <summary>Of the second foot's contact after the first, s.</summary>
    public double? SecondFootLagS { get; init; }

    /// <summary>Of the turn after landing, deg.</summary>
    public double? TurnRecoveryDeg { get; init; }

    /// <summary>Of the largest rate, deg/s.</summary>
    public double? TurnRatePeakDps { get; init; }

    /// <summary>Of the inertia growth.</summary>
    public double? InertiaGrowth { get; init; }

    /// <summary>Of the landing shock per site, g; of a site at its rail the value is a bound and this says only how well the bound is known.</summary>
    public LandingShock LandingShockG { get; init; } = new(null, null, null);

    /// <summary>Of the attenuation, per cent.</summary>
    public double? ShockAttenuationPercent { get; init; }

    /// <summary>Of the shock's rise time, s.</summary>
    public double? ShockRiseTimeS { get; init; }
}
