namespace Saltograph.Store;

/// <summary>Counts by foot.</summary>
/// <param name="Left">Left foot.</param>
/// <param name="Right">Right foot.</param>
/// <param name="Both">Both feet.</param>
/// <param name="Unknown">Not known which.</param>
public readonly record struct FootLoad(long Left, long Right, long Both, long Unknown);

/// <summary>What an athlete has done on one day: counts and sums, nothing averaged or weighted. The sums are exact, and the same on both engines.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Day">Day in the hall's zone, <c>yyyy-MM-dd</c>.</param>
/// <param name="Jumps">Number of jumps.</param>
/// <param name="Takeoffs">By the foot of the last contact.</param>
/// <param name="Landings">By the foot of the first contact.</param>
/// <param name="HeightSumM">Sum of the heights, m.</param>
/// <param name="FlightTimeSumS">Sum of the flight times, s.</param>
/// <param name="FirstUs">Landing of the first jump, us since 1970; null without one.</param>
/// <param name="LastUs">Landing of the last jump, us since 1970; null without one.</param>
public sealed record DayLoad(
    string Athlete,
    string Day,
    long Jumps,
    FootLoad Takeoffs,
    FootLoad Landings,
    double HeightSumM,
    double FlightTimeSumS,
    long? FirstUs,
    long? LastUs);

/// <summary>The few values of a jump from which load is worked out: bands, powers, slopes.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Day">Day in the hall's zone, <c>yyyy-MM-dd</c>.</param>
/// <param name="LandingUs">First contact, us since 1970.</param>
/// <param name="Form">Form; null when not known.</param>
/// <param name="TakeoffFoot">Foot of the last contact; null when not known.</param>
/// <param name="LandingFoot">Foot of the first contact; null when not known.</param>
/// <param name="FlightTimeS">Flight time, s.</param>
/// <param name="HeightM">Height, m.</param>
/// <param name="ContactTimeS">Contact before a leap of a series, s; null outside one.</param>
/// <param name="ShockTrunkG">Landing shock at the trunk, g; null when not measured.</param>
/// <param name="ShockAnkleLeftG">Landing shock at the left ankle, g; null when not measured.</param>
/// <param name="ShockAnkleRightG">Landing shock at the right ankle, g; null when not measured.</param>
/// <param name="Saturated">Whether a sensor was at its rail.</param>
public sealed record LoadPoint(
    string Athlete,
    string Day,
    long LandingUs,
    string? Form,
    string? TakeoffFoot,
    string? LandingFoot,
    double FlightTimeS,
    double HeightM,
    double? ContactTimeS,
    double? ShockTrunkG,
    double? ShockAnkleLeftG,
    double? ShockAnkleRightG,
    bool Saturated);
