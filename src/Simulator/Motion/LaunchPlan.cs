using Saltograph.Imu;

namespace Saltograph.Simulator.Motion;

/// <summary>A target of one leg during flight: share of the flight, joint angles (rad), at rest but for theta's rate (rad/s).</summary>
internal readonly record struct LegKey(double Share, double Theta, double Gamma, double Phi, double Kappa, double ThetaRate = 0);

/// <summary>A target of trunk and arms during flight (rad).</summary>
internal readonly record struct UpperKey(double Share, double Pitch, double Roll, double Arms, double ArmsForward);

/// <summary>One leg's part in a flight.</summary>
internal sealed record LegPlan
{
    /// <summary>Whether the leg pushes off; otherwise <see cref="TakeoffJoints"/> says how it swings at take-off.</summary>
    public required bool Pushes { get; init; }

    /// <summary>Whether the leg meets the floor first (or within <see cref="LagS"/> of the first).</summary>
    public required bool Lands { get; init; }

    /// <summary>How much later than the first contact this leg's contact comes, s (only while landing on both).</summary>
    public double LagS { get; init; }

    /// <summary>How much earlier than the last contact this leg left the floor, s (only while pushing with both).</summary>
    public double LeadS { get; init; }

    /// <summary>
    /// A short flight: the free end of the leg's movement follows from the held one at nearly its own rate, because there is
    /// no time for another.
    /// </summary>
    public bool Coasts { get; init; }

    /// <summary>Theta, gamma, phi, kappa of a free leg at take-off.</summary>
    public Knot[] TakeoffJoints { get; init; } = [];

    public IReadOnlyList<LegKey> Keys { get; init; } = [];

    /// <summary>Theta, gamma, phi, kappa of a leg that does not land, at first contact.</summary>
    public Knot[] LandingJoints { get; init; } = [];

    /// <summary>How the foot stops; used when it lands.</summary>
    public FootStop Stop { get; init; }
}

/// <summary>Push-off, flight and first contact of one jump.</summary>
internal sealed record LaunchPlan
{
    public required LegPlan Left { get; init; }

    public required LegPlan Right { get; init; }

    /// <summary>From now to take-off, s.</summary>
    public required double SupportS { get; init; }

    /// <summary>Share of the support at which the pelvis is lowest.</summary>
    public double LowestShare { get; init; } = 0.5;

    public required double FlightS { get; init; }

    /// <summary>Horizontal direction (earth heading, rad) and speed of the centre of mass in the air.</summary>
    public double TravelHeadingRad { get; init; }

    public double TravelMps { get; init; }

    /// <summary>Turn of the pelvis in the air, rad, and during the support, as a share of rate times time.</summary>
    public double TurnRad { get; init; }

    /// <summary>Largest turn rate in the air, rad/s; a plan that needs more turns less.</summary>
    public double HighestRateRadps { get; init; } = 1150 * Angles.RadPerDeg;

    public double WindUpS { get; init; } = 0.28;

    public double WindUpShare { get; init; } = 0.4;

    /// <summary>How far the standing foot turns along with the pelvis, 0 to 1.</summary>
    public double PivotShare { get; init; } = 0.6;

    /// <summary>Bend of the pushing knee at take-off, rad.</summary>
    public double TakeoffKneeRad { get; init; } = 0.35;

    /// <summary>
    /// When set, the bend of the pushing knee follows instead: the centre of mass takes off higher than it lands by this share
    /// of g T^2 (a short flight has no room for more).
    /// </summary>
    public double? DropShare { get; init; }

    /// <summary>Pelvis ahead of the pushing foot at take-off, m; null: as far as it gets.</summary>
    public double? TakeoffAheadM { get; init; }

    public double HeelRiseM { get; init; } = 0.07;

    /// <summary>Share of the support, from its end, in which the heel rises at the latest.</summary>
    public double HeelEarlyShare { get; init; } = 0.3;

    /// <summary>Upward speed of the pushing ankle at take-off over that of the centre of mass.</summary>
    public double AnkleRiseShare { get; init; } = 0.8;

    public double LandingKneeRad { get; init; } = 0.45;

    /// <summary>Landing foot ahead of the pelvis, m.</summary>
    public double LandingAheadM { get; init; } = 0.1;

    /// <summary>Landing foot nearer to the middle than hip-wide, m.</summary>
    public double LandingInwardM { get; init; } = 0.03;

    /// <summary>Downward speed of the landing ankle over that of the pelvis, and what is left of the travel.</summary>
    public double LandingFallShare { get; init; } = 0.95;

    public double LandingDriftShare { get; init; } = 0.15;

    /// <summary>Lean and arms at take-off with their rates, in the air, and at landing.</summary>
    public required UpperKey TakeoffUpper { get; init; }

    public IReadOnlyList<UpperKey> UpperKeys { get; init; } = [];

    public required UpperKey LandingUpper { get; init; }

    /// <summary>How sharply the pelvis is pulled up from its lowest point: mean over final speed.</summary>
    public double PushShape { get; init; } = 0.52;
}

/// <summary>What a launch did.</summary>
/// <param name="TakeoffS">Last contact, s.</param>
/// <param name="LandingS">First contact, s.</param>
/// <param name="Flight">The path in the air.</param>
/// <param name="LandingVelocity">Centre of mass at first contact, m/s.</param>
/// <param name="HeadingAtLanding">Heading, rate, acceleration at first contact.</param>
/// <param name="AnkleLandingMps">Velocity of the landing ankles at first contact, m/s.</param>
/// <param name="AnkleLandingMps2">Their acceleration, m/s2.</param>
internal sealed record Launched(
    double TakeoffS, double LandingS, FlightPath Flight, Vector3D LandingVelocity, Knot HeadingAtLanding, Vector3D AnkleLandingMps,
    Vector3D AnkleLandingMps2);
