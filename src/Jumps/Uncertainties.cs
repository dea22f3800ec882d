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

    // The shank of the foot shows the take-off no better than to some half a sample interval at 416 Hz.
    private const double ToeOffLeastS = 0.0010;
    private const double ToeOffFadeShare = 0.085;

    // A landing that no contact confirms may be another rise of the load: 5.9 ms over 80 such simulated ones, two of them 35 ms off.
    private const double LandingUnconfirmedS = 0.004;

    // What UnseenLegs leaves, for each leg without a shank: 4.5 and 6.2 ms (1 sigma) over 1760 take-offs with one ankle and 1819 with none;
    // landings 4.6 and 7 ms, most of them within 1.5 ms and some another kink.
    private const double TakeoffUnseenLegS = 0.0043;
    private const double LandingUnseenLegS = 0.0047;
    private const double VelocityUnseenLegMps = 0.045;

    // Gyroscope scale 0.25 per cent, vertical 1 deg off, offset over half a second.
    private const double TurnScaleShare = 0.0025;
    private const double TurnLeastDeg = 0.3;
    private const double RateLeastDps = 1.0;

    // Each shank's inclination against its own gravity line after a run of some seconds, and the leg against its shank.
    private const double SplitLeastDeg = 1.5;
    private const double SplitShare = 0.013;

    // Lost samples are bridged by a straight line, a clipped rate is "at least": 50 ms of a swing of 800 deg/s that is off by a third.
    private const double SplitBridgedDeg = 13;
    private const double TurnBridgedDeg = 4;

    // Where the trunk turns round is flat: 0.1 m/s in its velocity at 1 g is 10 ms.
    private const double AbsorptionLeastS = 0.012;

    // 1 sigma over 1865 simulated jumps of 38 gymnasts: paths by double integration, phases whose ends are flat, a second foot that comes down softly.
    private const double AbsorptionDepthM = 0.007;
    private const double TrunkRiseM = 0.008;
    private const double CrouchDepthM = 0.02;
    private const double PushOffLeastS = 0.007;
    private const double SecondFootS = 0.010;
    private const double ShockPeakS = 0.007;

    // Scale and offset of the accelerometer, noise of 0.02 g after the filter; a strap that gives way is not in it. At a rail the value is a bound.
    private const double ShockShare = 0.006;
    private const double ShockLeastG = 0.03;

    public static JumpUncertainty Of(JumpWindow window, JumpRecord record, Ballistics? ballistics, TurnMeasures turn, SplitMeasure? split)
    {
        var events = window.Events;
        var unseen = Math.Sqrt((window.Left is null ? 1 : 0) + (window.Right is null ? 1 : 0));
        var takeoffS = events.ToeOffSigmaS is { } shown
            ? Combined(shown, ToeOffLeastS, ToeOffFadeShare * events.FadeS)
            : Combined(TakeoffLeastS, TakeoffFadeShare * events.FadeS, TakeoffUnseenLegS * unseen);
        var landingS = Combined(LandingLeastS, LandingFlankShare * events.FlankS, unseen > 0 ? LandingUnseenLegS * unseen : events.LandingIsSharp ? 0 : LandingUnconfirmedS);
        var flightTimeS = Combined(takeoffS, landingS);
        var gravity = window.Options.GravityMps2;
        var motion = ballistics?.MotionVelocityMps;
        var best = ballistics?.VelocityMps;
        var fromFlightTimeM = Combined(OfFlightTimeM(events.FlightTimeS, flightTimeS, gravity), Ballistics.UsualDropM / 2);
        var riseS = best is { } found ? found.Uncertainty / gravity : Ballistics.UsualDropM / (gravity * events.FlightTimeS);
        var peakS = Combined(takeoffS, riseS);
        var takeoffRateDps = Combined(turn.SlopeTakeoffDps2 * takeoffS, TurnScaleShare * turn.RateTakeoffDps, RateLeastDps);
        var topRateDps = Combined(turn.SlopeTopDps2 * peakS, TurnScaleShare * turn.RateTopDps, RateLeastDps);
        var shock = record.LandingShockG;
        return new()
        {
            TakeoffS = takeoffS,
            LandingS = landingS,
            FlightTimeS = flightTimeS,
            PeakS = peakS,
            HeightM = HeightM(best, takeoffS, VelocityUnseenLegMps * unseen, gravity) ?? fromFlightTimeM,
            HeightFlightTimeM = fromFlightTimeM,
            TakeoffVelocityMps = motion is { } m ? Combined(m.Uncertainty, VelocityUnseenLegMps * unseen, gravity * takeoffS) : null,
            HeightTakeoffVelocityM = HeightM(motion, takeoffS, VelocityUnseenLegMps * unseen, gravity),
            TurnPreparationDeg = Combined(turn.RateTakeoffDps * takeoffS, TurnScaleShare * turn.PreparationDeg, TurnLeastDeg),
            TurnFlightDeg = Combined(
                turn.RateTakeoffDps * takeoffS,
                turn.RateLandingDps * landingS,
                TurnScaleShare * turn.FlightDeg,
                TurnLeastDeg,
                window.Trunk.TurnGuessed(events.Takeoff, events.Landing) ? TurnBridgedDeg : 0),
            TurnRateTakeoffDps = takeoffRateDps,
            TurnRateTopDps = topRateDps,
            SplitAngleDeg = split is { } s ? SplitDeg(s.LargestDeg, s) : null,
            SplitAngleAtPeakDeg = split is { } p ? SplitDeg(p.AtPeakDeg, p) : null,
            AbsorptionTimeS = record.AbsorptionTimeS is null ? null : Combined(landingS, AbsorptionLeastS),
            AbsorptionDepthM = record.AbsorptionDepthM is null ? null : AbsorptionDepthM,
            TrunkRiseM = record.TrunkRiseM is null ? null : TrunkRiseM,
            CrouchDepthM = record.CrouchDepthM is null ? null : CrouchDepthM,
            PushOffTimeS = record.PushOffTimeS is null ? null : Combined(takeoffS, PushOffLeastS),
            SecondFootLagS = record.SecondFootLagS is null ? null : Combined(landingS, SecondFootS),
            TurnRecoveryDeg = record.TurnRecoveryDeg is { } recovery ? Combined(turn.RateLandingDps * landingS, TurnScaleShare * recovery, TurnLeastDeg) : null,
            TurnRatePeakDps = Combined(TurnScaleShare * turn.RatePeakDps, RateLeastDps),
            InertiaGrowth = record.InertiaGrowth is { } growth
                ? growth * Combined(takeoffRateDps / turn.RateTakeoffDps, topRateDps / turn.RateTopDps)
                : null,
            LandingShockG = new(ShockG(shock.TrunkG), ShockG(shock.AnkleLeftG), ShockG(shock.AnkleRightG)),
            ShockAttenuationPercent = AttenuationPercent(record),
            ShockRiseTimeS = record.ShockRiseTimeS is null ? null : Combined(landingS, ShockPeakS),
        };
    }

    /// <summary>What the timing alone leaves in the height from flight time, g t^2 / 8, m.</summary>
    internal static double OfFlightTimeM(double flightTimeS, double uncertaintyS, double gravityMps2) => gravityMps2 * flightTimeS / 4 * uncertaintyS;

    private static double SplitDeg(double angleDeg, in SplitMeasure split) =>
        Combined(SplitLeastDeg, SplitShare * angleDeg, split.SignDeg, split.Bridged ? SplitBridgedDeg : 0);

    // h = v^2 / 2 g above the level at the true take-off: a take-off that is found late is found higher up.
    private static double? HeightM(Estimate? velocity, double takeoffS, double unseenMps, double gravityMps2) =>
        velocity is { } v ? Combined(v.Value / gravityMps2 * v.Uncertainty, v.Value / gravityMps2 * unseenMps, v.Value * takeoffS) : null;

    private static double? ShockG(double? shockG) => shockG is { } value ? Combined(ShockShare * value, ShockLeastG) : null;

    // A quotient: its relative uncertainty is that of both shocks. The ankle's follows from the quotient, whichever foot it was.
    private static double? AttenuationPercent(JumpRecord record)
    {
        if (record is not { ShockAttenuationPercent: { } attenuationPercent, LandingShockG.TrunkG: > 0 and var trunkG })
        {
            return null;
        }

        var passedShare = 1 - (attenuationPercent / 100);
        var ankleG = trunkG / passedShare;
        return 100 * passedShare * Combined(ShockG(trunkG)!.Value / trunkG, ShockG(ankleG)!.Value / ankleG);
    }

    /// <summary>Root of the sum of squares.</summary>
    internal static double Combined(params ReadOnlySpan<double> parts)
    {
        var sum = 0.0;
        foreach (var part in parts)
        {
            sum += part * part;
        }

        return Math.Sqrt(sum);
    }
}
