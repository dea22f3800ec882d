using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Which feet leave and which land.</summary>
public enum JumpForm
{
    /// <summary>One foot to the other.</summary>
    Leap,

    /// <summary>One foot to the same.</summary>
    Hop,

    /// <summary>Two feet to two.</summary>
    Jump,

    /// <summary>One foot to two.</summary>
    Assemble,

    /// <summary>Two feet to one.</summary>
    Sissonne,
}

/// <summary>The foot, or feet, of a contact.</summary>
public enum Foot
{
    /// <summary>Left.</summary>
    Left,

    /// <summary>Right.</summary>
    Right,

    /// <summary>Both within <see cref="JumpOptions.BothFeetWithinS"/>.</summary>
    Both,
}

/// <summary>How well the two events of a jump were seen.</summary>
public enum JumpGrade
{
    /// <summary>Both events sharp on trunk and shanks.</summary>
    A,

    /// <summary>One event inferred.</summary>
    B,

    /// <summary>From the trunk only.</summary>
    C,
}

/// <summary>Landing shock per site: largest magnitude of specific force in units of standard gravity, null when not measured.</summary>
/// <param name="TrunkG">At the lower back, after first contact.</param>
/// <param name="AnkleLeftG">At the left shank, after the left foot's contact.</param>
/// <param name="AnkleRightG">At the right shank, after the right foot's contact.</param>
public sealed record LandingShock(double? TrunkG, double? AnkleLeftG, double? AnkleRightG);

/// <summary>Where a jump stands in a row of jumps.</summary>
/// <param name="Id">Number of the series in the session, from 1.</param>
/// <param name="Position">Place in the series, from 1.</param>
/// <param name="ContactTimeS">Time on the floor before this jump, s; null for the first of the series.</param>
public sealed record SeriesPlace(int Id, int Position, double? ContactTimeS);

/// <summary>
/// One measured jump. Times are on the clock of the samples; angles and rates about the true vertical, counter-clockwise
/// seen from above positive. What was not measured is null.
/// </summary>
public sealed record JumpRecord
{
    /// <summary>Running number in the session, from 1.</summary>
    public required int Number { get; init; }

    /// <summary>Time of the trunk sample at which the trunk's own velocity was smallest: repeatable, the key of the jump.</summary>
    public required SampleTime AnchorTime { get; init; }

    /// <summary>Last contact of either foot.</summary>
    public required SampleTime TakeoffTime { get; init; }

    /// <summary>Highest point of the centre of mass.</summary>
    public required SampleTime PeakTime { get; init; }

    /// <summary>First contact of either foot.</summary>
    public required SampleTime LandingTime { get; init; }

    /// <summary>Landing minus take-off, s.</summary>
    public double FlightTimeS => LandingTime - TakeoffTime;

    /// <summary>Best estimate of the rise of the centre of mass above its take-off level, m.</summary>
    public required double HeightM { get; init; }

    /// <summary>Which feet left and which landed.</summary>
    public JumpForm? Form { get; init; }

    /// <summary>Foot or feet of the last contact.</summary>
    public Foot? TakeoffFoot { get; init; }

    /// <summary>Foot or feet of the first contact.</summary>
    public Foot? LandingFoot { get; init; }

    /// <summary>Contact of the second foot after the first, s.</summary>
    public double? SecondFootLagS { get; init; }

    /// <summary>g T^2 / 8, m: right only when the body lands as tall as it left; a bent landing makes it too high.</summary>
    public double? HeightFlightTimeM { get; init; }

    /// <summary>v^2 / 2 g from the take-off velocity, m.</summary>
    public double? HeightTakeoffVelocityM { get; init; }

    /// <summary>Rise of the trunk above its take-off level, m; the legs in a split lift the centre of mass above it.</summary>
    public double? TrunkRiseM { get; init; }

    /// <summary>Upward velocity at take-off, m/s.</summary>
    public double? TakeoffVelocityMps { get; init; }

    /// <summary>Upward acceleration phase before take-off, s.</summary>
    public double? PushOffTimeS { get; init; }

    /// <summary>Lowering of the trunk before the push-off, m.</summary>
    public double? CrouchDepthM { get; init; }

    /// <summary>Turn during preparation, deg.</summary>
    public double? TurnPreparationDeg { get; init; }

    /// <summary>Turn in the air, deg.</summary>
    public double? TurnFlightDeg { get; init; }

    /// <summary>Turn after landing, deg.</summary>
    public double? TurnRecoveryDeg { get; init; }

    /// <summary>Turn rate at take-off, mean over 20 ms, deg/s.</summary>
    public double? TurnRateTakeoffDps { get; init; }

    /// <summary>Turn rate at the peak, mean over 20 ms, deg/s.</summary>
    public double? TurnRateTopDps { get; init; }

    /// <summary>Turn rate of largest magnitude from preparation to landing, mean over 20 ms, deg/s.</summary>
    public double? TurnRatePeakDps { get; init; }

    /// <summary>Turn rate at take-off over turn rate at the peak: by how much the moment of inertia grew.</summary>
    public double? InertiaGrowth { get; init; }

    /// <summary>Largest sum of both shanks' inclinations, deg.</summary>
    public double? SplitAngleDeg { get; init; }

    /// <summary>The same at the peak, deg.</summary>
    public double? SplitAngleAtPeakDeg { get; init; }

    /// <summary>Share of the flight above 90 per cent of the largest split.</summary>
    public double? SplitHoldFraction { get; init; }

    /// <summary>Landing shock per site.</summary>
    public required LandingShock LandingShockG { get; init; }

    /// <summary>100 (1 - trunk / landing ankle), per cent.</summary>
    public double? ShockAttenuationPercent { get; init; }

    /// <summary>
    /// Power of the trunk's specific force over that of the landing ankle's in the band of the impact, 10 to 20 Hz, dB: negative when the body takes
    /// shock away. Null when a reading was at its rail or lost. Not part of the published record.
    /// </summary>
    public double? ShockTransferDb { get; init; }

    /// <summary>Contact to shock peak at the landing ankle, s.</summary>
    public double? ShockRiseTimeS { get; init; }

    /// <summary>First contact to the trunk's lowest point, s.</summary>
    public double? AbsorptionTimeS { get; init; }

    /// <summary>How far the trunk sank until then, m.</summary>
    public double? AbsorptionDepthM { get; init; }

    /// <summary>Place in a row of jumps, null for a jump that stands alone so far.</summary>
    public SeriesPlace? Series { get; init; }

    /// <summary>Standard uncertainties of what was measured.</summary>
    public required JumpUncertainty Uncertainty { get; init; }

    /// <summary>How well the events were seen.</summary>
    public required JumpGrade Grade { get; init; }

    /// <summary>What is to be said against the record, words of <see cref="QualityWords"/>; empty when nothing.</summary>
    public required IReadOnlyList<string> Quality { get; init; }

    /// <summary>The course of the jump; null when the samples before it were not there. Not part of the published record.</summary>
    public JumpCurves? Curves { get; init; }
}

/// <summary>The words that may stand in <see cref="JumpRecord.Quality"/>.</summary>
public static class QualityWords
{
    /// <summary>No samples of the left shank around the jump.</summary>
    public const string AnkleLeftMissing = "ankle-left-missing";

    /// <summary>No samples of the right shank around the jump.</summary>
    public const string AnkleRightMissing = "ankle-right-missing";

    /// <summary>Samples were lost around the jump; the gap was bridged.</summary>
    public const string PacketGap = "packet-gap";

    /// <summary>A sensor was at its rail: its shock is "at least", or a turn or split lost part of a clipped rate.</summary>
    public const string Saturated = "saturated";

    /// <summary>The trunk's accelerometer was at its rail in the landing: its shock is "at least".</summary>
    public const string SaturatedTrunk = "saturated-trunk";

    /// <summary>The same of the left shank.</summary>
    public const string SaturatedAnkleLeft = "saturated-ankle-left";

    /// <summary>The same of the right shank.</summary>
    public const string SaturatedAnkleRight = "saturated-ankle-right";

    /// <summary>A sensor's clock is not yet tied to the hall's.</summary>
    public const string ClockUnsynchronised = "clock-unsynchronised";

    /// <summary>No quiet standing so far: the accelerometer's offset is not known and the segments have no long axis yet; no split.</summary>
    public const string NoStillPhase = "no-still-phase";

    /// <summary>The turn had not ended when the record was closed.</summary>
    public const string RecoveryCut = "recovery-cut";

    /// <summary>The sample rate is too low for the shock filter; the shock is unfiltered and may miss the peak.</summary>
    public const string LowSampleRate = "low-sample-rate";

    /// <summary>The split is known to no better than 8 deg: front and rear of a leg are not surely told, or part of its swing was lost.</summary>
    public const string SplitUnsure = "split-unsure";
}

/// <summary>The early word of a landing, before the whole jump is known.</summary>
/// <param name="AnchorTime">Key of the jump that it belongs to.</param>
/// <param name="LandingTime">First contact, as far as known.</param>
/// <param name="FlightTimeS">Flight time as far as known, s; the record that follows may differ by some milliseconds.</param>
/// <param name="LandingFoot">Foot of the first contact, when the shanks show it already.</param>
public sealed record LandingFact(SampleTime AnchorTime, SampleTime LandingTime, double FlightTimeS, Foot? LandingFoot);
