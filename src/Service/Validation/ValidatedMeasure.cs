using Saltograph.Jumps;
using Saltograph.Service.Results;

namespace Saltograph.Service.Validation;

/// <summary>A measure whose error is examined, in the unit in which the report shows it.</summary>
/// <param name="Key">Key in the jump record; <see cref="LandingAnkleShock"/> stands for the ankle of first contact.</param>
/// <param name="Name">What people call it.</param>
/// <param name="Unit">Unit of the error as shown.</param>
/// <param name="Factor">From the unit of the record to that unit.</param>
/// <param name="IsRelative">Whether the error is in per cent of the truth.</param>
internal sealed record ValidatedMeasure(string Key, string Name, string Unit, double Factor = 1, bool IsRelative = false)
{
    public const string LandingAnkleShock = "landingShockG.ankle";

    /// <summary>All of them. The first seven are drawn.</summary>
    public static IReadOnlyList<ValidatedMeasure> All { get; } =
    [
        new("flightTimeS", "flight time", "ms", 1000),
        new("heightM", "height", "cm", 100),
        new("turnFlightDeg", "turn in the air", "deg"),
        new("turnRateTakeoffDps", "turn rate at take-off", "deg/s"),
        new("splitAngleDeg", "split angle", "deg"),
        new(LandingAnkleShock, "landing shock, landing ankle", "%", IsRelative: true),
        new("absorptionTimeS", "absorption time", "ms", 1000),
        new("absorptionDepthM", "absorption depth", "cm", 100),
        new("takeoffVelocityMps", "take-off velocity", "cm/s", 100),
        new("trunkRiseM", "rise of the trunk", "cm", 100),
        new("pushOffTimeS", "push-off time", "ms", 1000),
        new("crouchDepthM", "crouch depth", "cm", 100),
        new("turnPreparationDeg", "turn in preparation", "deg"),
        new("turnRecoveryDeg", "turn after landing", "deg"),
        new("turnRateTopDps", "turn rate at the peak", "deg/s"),
        new("turnRatePeakDps", "largest turn rate", "deg/s"),
        new("splitAngleAtPeakDeg", "split angle at the peak", "deg"),
        new("secondFootLagS", "second foot after the first", "ms", 1000),
        new("landingShockG.trunk", "landing shock, trunk", "%", IsRelative: true),
        new("shockRiseTimeS", "shock rise time", "ms", 1000),
    ];

    public static ValidatedMeasure Of(string key) => All.Single(measure => measure.Key == key);

    /// <summary>The error of a pair; null when either side has no value, or a shock was at a rail and is no measurement but a bound.</summary>
    public MeasuredError? Error(JumpLine truth, JumpLine measured)
    {
        var key = Key == LandingAnkleShock ? LandingAnkle(truth) : Key;
        var isShock = key.StartsWith("landingShockG", StringComparison.Ordinal) || key.StartsWith("shockRise", StringComparison.Ordinal);
        if ((isShock && measured.Quality.Contains(QualityWords.Saturated, StringComparer.Ordinal))
            || !truth.Values.TryGetValue(key, out var expected) || !measured.Values.TryGetValue(key, out var found))
        {
            return null;
        }

        var factor = IsRelative ? 100 / expected : Factor;
        double? uncertainty = measured.Uncertainties.TryGetValue(key, out var stated) && stated > 0 ? stated * factor : null;
        return new(expected, (found - expected) * factor, uncertainty, truth, measured);
    }

    // Both feet at once: the left one stands for both.
    private static string LandingAnkle(JumpLine truth) => truth.LandingFoot == "right" ? "landingShockG.ankleRight" : "landingShockG.ankleLeft";
}

/// <summary>One jump's error of one measure.</summary>
/// <param name="Expected">Truth, in the unit of the record.</param>
/// <param name="Error">Measured minus truth, in the unit shown.</param>
/// <param name="Uncertainty">Stated standard uncertainty in the same unit; null when none.</param>
/// <param name="Truth">The jump as it was.</param>
/// <param name="Measured">The jump as measured.</param>
internal sealed record MeasuredError(double Expected, double Error, double? Uncertainty, JumpLine Truth, JumpLine Measured);
