using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>The turn about the true vertical, by phase.</summary>
/// <remarks>
/// Integrated from the vertical component of the rate in the earth frame, not about the trunk's long axis: a trunk that
/// leans by 20 deg would read 6 per cent too little (1 - cos).
/// </remarks>
internal sealed record TurnMeasures(
    double PreparationDeg,
    double FlightDeg,
    double? RecoveryDeg,
    double RateTakeoffDps,
    double RateTopDps,
    double RatePeakDps,
    double RateLandingDps,
    double SlopeTakeoffDps2,
    double SlopeTopDps2,
    double? InertiaGrowth,
    bool RecoveryCut)
{
    // Rates at an instant are means over 20 ms around it.
    private const double HalfWindowS = 0.010;

    // Under 60 deg/s the ratio of two rates says more about noise than about inertia.
    private const double LeastRateForInertiaDps = 60;

    public static TurnMeasures Measure(
        SampleTrack trunk,
        SampleTime preparationStart,
        SampleTime takeoff,
        SampleTime peak,
        SampleTime landing,
        SampleTime recoveryEnd,
        bool turnEnded)
    {
        var rateTakeoffDps = RateDps(trunk, takeoff);
        var rateTopDps = RateDps(trunk, peak);
        var ratePeakDps = 0.0;
        for (var i = trunk.IndexAtOrAfter(preparationStart); i < trunk.End && trunk[i].Time <= landing; i++)
        {
            var rateDps = RateDps(trunk, trunk[i].Time);
            if (Math.Abs(rateDps) > Math.Abs(ratePeakDps))
            {
                ratePeakDps = rateDps;
            }
        }

        double? growth = Math.Abs(rateTakeoffDps) >= LeastRateForInertiaDps && Math.Abs(rateTopDps) >= LeastRateForInertiaDps
            && Math.Sign(rateTakeoffDps) == Math.Sign(rateTopDps)
            ? rateTakeoffDps / rateTopDps
            : null;
        return new(
            trunk.TurnRad(preparationStart, takeoff) * Angles.DegPerRad,
            trunk.TurnRad(takeoff, landing) * Angles.DegPerRad,
            recoveryEnd > landing ? trunk.TurnRad(landing, recoveryEnd) * Angles.DegPerRad : null,
            rateTakeoffDps,
            rateTopDps,
            ratePeakDps,
            RateDps(trunk, landing),
            SlopeDps2(trunk, takeoff),
            SlopeDps2(trunk, peak),
            growth,
            !turnEnded);
    }

    private static double SlopeDps2(SampleTrack trunk, SampleTime time) =>
        (RateDps(trunk, time.PlusSeconds(HalfWindowS)) - RateDps(trunk, time.PlusSeconds(-HalfWindowS))) / (2 * HalfWindowS);

    private static double RateDps(SampleTrack trunk, SampleTime time) =>
        trunk.TurnRad(time.PlusSeconds(-HalfWindowS), time.PlusSeconds(HalfWindowS)) / (2 * HalfWindowS) * Angles.DegPerRad;
}
