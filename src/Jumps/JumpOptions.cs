using System.Globalization;
using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>What counts as a jump. Free of sample rates; SI units. The defaults hold for all sites and levels of skill.</summary>
/// <remarks>
/// The detection works on the running integral of the trunk's vertical acceleration, the upward velocity. A jump is a rise
/// of that velocity (push-off), a long fall at about one g (flight), and a rise (landing). Each limit below may move by
/// 20 per cent without a count changing on any recording that the tests use.
/// </remarks>
public sealed record JumpOptions
{
    /// <summary>Shortest flight that is recorded, s. 0.1 to 0.5; default 0.20. Smaller counts running steps and chasse flights.</summary>
    public double MinimumFlightTimeS { get; init; } = 0.20;

    /// <summary>Longest flight that is believed, s. 0.5 to 2; default 0.95 (a rise of 1.1 m). Larger lets a sensor that was taken off count.</summary>
    public double LongestFlightTimeS { get; init; } = 0.95;

    /// <summary>
    /// Least fall of the trunk's upward velocity from push-off to landing, m/s. 1 to 4; default 2.1, the fall of 0.20 s of
    /// flight and the unloading around it. Smaller counts running steps (up to 1.9 m/s in the recordings), larger misses low hops.
    /// </summary>
    public double MinimumVelocityFallMps { get; init; } = 2.1;

    /// <summary>
    /// Least mean downward acceleration during that fall, as a share of g. 0.4 to 0.95; default 0.72. Free flight gives
    /// 0.95 to 1.06 in the recordings, a fast dip of the body 0.4 to 0.7. Smaller counts dips, larger misses swinging straps.
    /// </summary>
    public double MinimumFallShareOfG { get; init; } = 0.72;

    /// <summary>
    /// Largest mean downward acceleration during that fall, as a share of g. 1.1 to 3; default 1.4. Nothing pulls a body
    /// down faster than gravity; the trunk may be pulled a little by the legs (1.06 at most in the recordings). Smaller
    /// misses legs thrown up hard, larger counts sensors that are shaken in the hand.
    /// </summary>
    public double LargestFallShareOfG { get; init; } = 1.4;

    /// <summary>
    /// Least rise of the velocity before the flight (push-off) and after it (landing), as a share of the fall between.
    /// 0.1 to 0.8; default 0.30. A step down from a height has no push-off (0.11 or less in the recordings), a jump 0.5 or more.
    /// </summary>
    public double MinimumRiseShare { get; init; } = 0.30;

    /// <summary>
    /// Rise of the velocity that ends a fall and tells a landing, m/s. 0.3 to 2; default 0.8. Smaller lets a bouncing belt
    /// cut a flight in two, larger tells the landing later: a soft one gives 0.8 m/s in some 80 ms.
    /// </summary>
    public double ReversalMps { get; init; } = 0.8;

    /// <summary>How soon after the lowest velocity the landing must have given its whole rise, s. 0.1 to 1; default 0.35.</summary>
    public double LandingWithinS { get; init; } = 0.35;

    /// <summary>Preparation: this long before take-off, cut at the previous landing, s. 0.3 to 2; default 1.0.</summary>
    public double PreparationS { get; init; } = 1.0;

    /// <summary>
    /// Recovery: at most this long after landing, s. 0.5 to 0.95; default 0.85, so that the record is out within 1.0 s with
    /// packets of up to 75 ms from each sensor.
    /// </summary>
    public double LongestRecoveryS { get; init; } = 0.85;

    /// <summary>Turn rate under which a turn has ended, rad/s. 0.1 to 2; default 0.5 (29 deg/s).</summary>
    public double TurnEndedRadps { get; init; } = 0.5;

    /// <summary>Second contact up to this long after the first counts as landing on both feet, s. 0.01 to 0.15; default 0.07.</summary>
    public double BothFeetWithinS { get; init; } = 0.07;

    /// <summary>Longest contact between two leaps of a series, s. 0.2 to 1.5; default 0.7 (common practice, no source).</summary>
    public double LongestContactInSeriesS { get; init; } = 0.7;

    /// <summary>Cut-off of the low pass under the landing shock, Hz, second order, forward and backward. 20 to 200; default 60.</summary>
    public double ShockCutoffHz { get; init; } = 60;

    /// <summary>Stretch after contact in which the shock is sought, s. 0.03 to 0.3; default 0.120.</summary>
    public double ShockWindowS { get; init; } = 0.120;

    /// <summary>Gravity in the hall, m/s2. 9.76 to 9.84; default 9.80665 (standard gravity).</summary>
    public double GravityMps2 { get; init; } = Gravity.StandardMps2;

    /// <summary>Refuses values outside their ranges.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Names the option, what was found and what is allowed.</exception>
    public void Validate()
    {
        Require(MinimumFlightTimeS, 0.1, 0.5, nameof(MinimumFlightTimeS));
        Require(LongestFlightTimeS, 0.5, 2, nameof(LongestFlightTimeS));
        Require(MinimumVelocityFallMps, 1, 4, nameof(MinimumVelocityFallMps));
        Require(MinimumFallShareOfG, 0.4, 0.95, nameof(MinimumFallShareOfG));
        Require(LargestFallShareOfG, 1.1, 3, nameof(LargestFallShareOfG));
        Require(MinimumRiseShare, 0.1, 0.8, nameof(MinimumRiseShare));
        Require(ReversalMps, 0.3, 2, nameof(ReversalMps));
        Require(LandingWithinS, 0.1, 1, nameof(LandingWithinS));
        Require(PreparationS, 0.3, 2, nameof(PreparationS));
        Require(LongestRecoveryS, 0.5, 0.95, nameof(LongestRecoveryS));
        Require(TurnEndedRadps, 0.1, 2, nameof(TurnEndedRadps));
        Require(BothFeetWithinS, 0.01, 0.15, nameof(BothFeetWithinS));
        Require(LongestContactInSeriesS, 0.2, 1.5, nameof(LongestContactInSeriesS));
        Require(ShockCutoffHz, 20, 200, nameof(ShockCutoffHz));
        Require(ShockWindowS, 0.03, 0.3, nameof(ShockWindowS));
        Require(GravityMps2, 9.76, 9.84, nameof(GravityMps2));
    }

    private static void Require(double value, double least, double largest, string name)
    {
        if (!(value >= least && value <= largest))
        {
            throw new ArgumentOutOfRangeException(
                name,
                string.Create(CultureInfo.InvariantCulture, $"{name} is {value}; allowed: {least} to {largest}."));
        }
    }
}
