namespace Saltograph.Jumps;

/// <summary>
/// Standard uncertainties of one jump, by the law of propagation (JCGM 100:2008, 5.1): the timing of the two events, what the motion
/// around the flight leaves open, and how well a shank stands for its leg.
/// </summary>
internal static class Uncertainties
{
    // Take-off: a fade that drags on is carried on over a longer way. Landing: the same for the flank of the load.
    private const double TakeoffLeastS = 0.0022;
    private const double TakeoffFadeShare = 0.10;
    private const double LandingLeastS = 0.0013;
    private const double LandingFlankShare = 0.20;

    // Without shanks the legs' part of the force is not known: the trunk unloads before the body does and loads after it.
    private const double TakeoffWithoutShanksS = 0.012;
    private const double LandingWithoutShanksS = 0.005;

    // Gyroscope scale 0.3 per cent, vertical 1 deg off, offset over half a second.
    private const double TurnScaleShare = 0.003;
    private const double TurnLeastDeg = 0.4;
    private const double RateLeastDps = 1.0;

    // Each shank's inclination against its own gravity line after a run of some seconds, and the leg against its shank.
    private const double SplitLeastDeg = 2.5;
    private const double SplitShare = 0.015;

    // Lost samples are bridged by a straight line, a clipped rate is "at least": 50 ms of a swing of 800 deg/s that is off by a third.
    private const double SplitBridgedDeg = 13;
    private const double TurnBridgedDeg = 4;

    // Where the trunk turns round is flat: 0.1 m/s in its velocity at 1 g is 10 ms.
    private const double AbsorptionLeastS = 0.012;

    public static JumpUncertainty Of(JumpWindow window, Ballistics? ballistics, TurnMeasures turn, SplitMeasure? split, double? absorptionTimeS)
    {
        var events = window.Events;
        var shanks = window.Left is not null && window.Right is not null;
        var takeoffS = Combined(TakeoffLeastS, TakeoffFadeShare * events.FadeS, shanks ? 0 : TakeoffWithoutShanksS);
        var landingS = Combined(LandingLeastS, LandingFlankShare * events.FlankS, shanks ? 0 : LandingWithoutShanksS);
        var flightTimeS = Combined(takeoffS, landingS);
        var gravity = window.Options.GravityMps2;
        var motion = ballistics?.MotionVelocityMps;
        var best = ballistics?.VelocityMps;
        var fromFlightTimeM = Combined(gravity * events.FlightTimeS / 4 * flightTimeS, Ballistics.UsualDropM / 2);
        var riseS = best is { } found ? found.Uncertainty / gravity : Ballistics.UsualDropM / (gravity * events.FlightTimeS);
        var peakS = Combined(takeoffS, riseS);
        return new()
        {
            TakeoffS = takeoffS,
            LandingS = landingS,
            FlightTimeS = flightTimeS,
            PeakS = peakS,
            HeightM = HeightM(best, takeoffS, gravity) ?? fromFlightTimeM,
            HeightFlightTimeM = fromFlightTimeM,
            TakeoffVelocityMps = motion is { } m ? Combined(m.Uncertainty, gravity * takeoffS) : null,
            HeightTakeoffVelocityM = HeightM(motion, takeoffS, gravity),
            TurnPreparationDeg = Combined(turn.RateTakeoffDps * takeoffS, TurnScaleShare * turn.PreparationDeg, TurnLeastDeg),
            TurnFlightDeg = Combined(
                turn.RateTakeoffDps * takeoffS,
                turn.RateLandingDps * landingS,
                TurnScaleShare * turn.FlightDeg,
                TurnLeastDeg,
                window.Trunk.TurnGuessed(events.Takeoff, events.Landing) ? TurnBridgedDeg : 0),
            TurnRateTakeoffDps = Combined(turn.SlopeTakeoffDps2 * takeoffS, TurnScaleShare * turn.RateTakeoffDps, RateLeastDps),
            TurnRateTopDps = Combined(turn.SlopeTopDps2 * peakS, TurnScaleShare * turn.RateTopDps, RateLeastDps),
            SplitAngleDeg = split is { } s ? SplitDeg(s.LargestDeg, s) : null,
            SplitAngleAtPeakDeg = split is { } p ? SplitDeg(p.AtPeakDeg, p) : null,
            AbsorptionTimeS = absorptionTimeS is null ? null : Combined(landingS, AbsorptionLeastS),
        };
    }

    private static double SplitDeg(double angleDeg, in SplitMeasure split) =>
        Combined(SplitLeastDeg, SplitShare * angleDeg, split.SignDeg, split.Bridged ? SplitBridgedDeg : 0);

    // h = v^2 / 2 g above the level at the true take-off: a take-off that is found late is found higher up.
    private static double? HeightM(Estimate? velocity, double takeoffS, double gravityMps2) =>
        velocity is { } v ? Combined(v.Value / gravityMps2 * v.Uncertainty, v.Value * takeoffS) : null;

    private static double Combined(params ReadOnlySpan<double> parts)
    {
        var sum = 0.0;
        foreach (var part in parts)
        {
            sum += part * part;
        }

        return Math.Sqrt(sum);
    }
}
