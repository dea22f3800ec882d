using Saltograph.Imu;
using Saltograph.Simulator.Elements;

namespace Saltograph.Simulator.Truth;

/// <summary>What really happened in one jump, in the terms of a jump record. Null: does not exist for this jump.</summary>
public sealed record TruthJump
{
    /// <summary>Pseudonym.</summary>
    public required AthleteId Athlete { get; init; }

    /// <summary>Running number, from 1.</summary>
    public required int Number { get; init; }

    /// <summary>Last contact, s on the true time base.</summary>
    public required double TakeoffS { get; init; }

    /// <summary>Highest point of the centre of mass, s.</summary>
    public required double PeakS { get; init; }

    /// <summary>First contact, s.</summary>
    public required double LandingS { get; init; }

    /// <summary>Form by the feet.</summary>
    public required JumpForm Form { get; init; }

    /// <summary><c>left</c>, <c>right</c> or <c>both</c>.</summary>
    public required string TakeoffFoot { get; init; }

    /// <summary>Foot of first contact (<c>both</c> when the second follows within 5 ms).</summary>
    public required string LandingFoot { get; init; }

    /// <summary>Second foot's contact after the first, s; null when the other foot only steps on later.</summary>
    public double? SecondFootLagS { get; init; }

    /// <summary>Landing minus take-off, s.</summary>
    public double FlightTimeS => LandingS - TakeoffS;

    /// <summary>Rise of the centre of mass above its take-off level, m.</summary>
    public required double HeightM { get; init; }

    /// <summary>Rise of the trunk sensor's place above its take-off level, m.</summary>
    public required double TrunkRiseM { get; init; }

    /// <summary>Centre of mass, upward at take-off, m/s.</summary>
    public required double TakeoffVelocityMps { get; init; }

    /// <summary>Centre of mass lower at landing than at take-off, m.</summary>
    public required double LandingDropM { get; init; }

    /// <summary>Last uninterrupted upward acceleration of the centre of mass before take-off, s.</summary>
    public required double PushOffTimeS { get; init; }

    /// <summary>Lowering of the trunk before take-off, within the preparation, m.</summary>
    public required double CrouchDepthM { get; init; }

    /// <summary>Turn about the vertical in the 1.0 s before take-off, cut at the previous landing, deg.</summary>
    public required double TurnPreparationDeg { get; init; }

    /// <summary>Turn in the air, deg.</summary>
    public required double TurnFlightDeg { get; init; }

    /// <summary>Turn after landing until the rate is below 15 deg/s, at most 1.0 s or until the next take-off, deg.</summary>
    public required double TurnRecoveryDeg { get; init; }

    /// <summary>Turn rate at take-off, mean over 20 ms, deg/s.</summary>
    public required double TurnRateTakeoffDps { get; init; }

    /// <summary>Turn rate at the peak, mean over 20 ms, deg/s.</summary>
    public required double TurnRateTopDps { get; init; }

    /// <summary>Turn rate of largest magnitude (mean over 20 ms) from preparation to landing, with its sign, deg/s.</summary>
    public required double TurnRatePeakDps { get; init; }

    /// <summary>Rate at take-off over rate at the peak; null when either is below 30 deg/s.</summary>
    public double? InertiaGrowth { get; init; }

    /// <summary>Largest sum of both shanks' inclinations in the leg plane, deg.</summary>
    public required double SplitAngleDeg { get; init; }

    /// <summary>The same at the peak, deg.</summary>
    public required double SplitAngleAtPeakDeg { get; init; }

    /// <summary>Share of the flight above 90 per cent of the largest split.</summary>
    public required double SplitHoldFraction { get; init; }

    /// <summary>Azimuth between the legs beyond one plane at the largest split, deg.</summary>
    public required double LegAzimuthOpeningDeg { get; init; }

    /// <summary>Larger bend of the two knees at the largest split, deg.</summary>
    public required double KneeBendAtSplitDeg { get; init; }

    /// <summary>Shock at the trunk, standard gravity.</summary>
    public required double ShockTrunkG { get; init; }

    /// <summary>Shock at the left ankle after its contact; null when it did not land within 0.12 s of the first contact.</summary>
    public double? ShockAnkleLeftG { get; init; }

    /// <summary>Shock at the right ankle.</summary>
    public double? ShockAnkleRightG { get; init; }

    /// <summary>Contact to shock peak at the ankle of first contact, s.</summary>
    public required double ShockRiseTimeS { get; init; }

    /// <summary>First contact to the trunk's lowest point, s.</summary>
    public required double AbsorptionTimeS { get; init; }

    /// <summary>How far the trunk sank from first contact, m.</summary>
    public required double AbsorptionDepthM { get; init; }

    /// <summary>Series number in the session, null outside series.</summary>
    public int? SeriesId { get; init; }

    /// <summary>Place in the series, from 1.</summary>
    public int? SeriesPosition { get; init; }

    /// <summary>Contact before this jump within a series, s.</summary>
    public double? ContactTimeS { get; init; }
}

/// <summary>A stretch in which nothing may be counted.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Kind">What it is.</param>
/// <param name="StartS">Start, s on the true time base.</param>
/// <param name="EndS">End, s.</param>
/// <param name="LongestFlightS">Longest time with both feet off the floor in it, s.</param>
public sealed record TruthDistractor(AthleteId Athlete, DistractorKind Kind, double StartS, double EndS, double LongestFlightS);
