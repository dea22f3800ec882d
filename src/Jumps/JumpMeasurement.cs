using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Everything that measuring one jump needs.</summary>
internal sealed class JumpWindow
{
    public required SampleTrack Trunk { get; init; }

    public required SampleTrack? Left { get; init; }

    public required SampleTrack? Right { get; init; }

    public required FlightCandidate Candidate { get; init; }

    public required FootEvents Events { get; init; }

    public required int Number { get; init; }

    public required SampleTime? PreviousLanding { get; init; }

    /// <summary>End of what belongs to this jump: of the recovery, or the next push-off.</summary>
    public required SampleTime End { get; init; }

    public required SeriesPlace Series { get; init; }

    /// <summary>Where the sensors sit.</summary>
    public required ArmLengths Arms { get; init; }

    public required JumpOptions Options { get; init; }
}

/// <summary>Fills the record of one jump.</summary>
internal static class JumpMeasurement
{
    // A turn has ended when its rate has stayed under the limit for this long.
    private const double TurnEndedForS = 0.1;

    // A push-off takes 0.15 s or more; straps ring at 14 Hz and above.
    private const double PushOffCutoffHz = 15;

    private const double UnsureSplitDeg = 8;

    public static JumpRecord Measure(JumpWindow window)
    {
        var options = window.Options;
        var events = window.Events;
        var trunk = window.Trunk;
        var flightTimeS = events.FlightTimeS;
        var heightFlightTimeM = options.GravityMps2 * flightTimeS * flightTimeS / 8;
        var preparationStart = events.Takeoff.PlusSeconds(-options.PreparationS);
        if (window.PreviousLanding is { } previous && previous > preparationStart)
        {
            preparationStart = previous;
        }

        var force = CentreOfMassForce(window);
        var ballistics = Ballistics.Find(trunk, force, events, options.GravityMps2);

        // Equal heights of the centre of mass at take-off and landing put its highest point in the middle; most land lower, which puts it earlier.
        var riseS = ballistics is { } motion ? motion.VelocityMps.Value / options.GravityMps2 : flightTimeS / 2;
        var peak = events.Takeoff.PlusSeconds(Math.Clamp(riseS, 0, flightTimeS));
        var turnEnd = TurnEnd(window);
        var turn = TurnMeasures.Measure(
            trunk, preparationStart, events.Takeoff, peak, events.Landing, turnEnd ?? window.End, turnEnd is not null);
        var path = TrunkPath.Find(trunk, events, options.GravityMps2);
        var velocityMps = ballistics?.MotionVelocityMps.Value;
        var shocks = Shocks.Measure(window);
        var split = window.Left is { } left && window.Right is { } right
            ? SplitMeasure.Find(left, right, events.Takeoff, peak, events.Landing, events.Form)
            : null;
        var absorption = path?.Absorption(window.End - events.Landing);
        var record = new JumpRecord
        {
            Number = window.Number,
            AnchorTime = window.Candidate.Anchor,
            TakeoffTime = events.Takeoff,
            PeakTime = peak,
            LandingTime = events.Landing,
            HeightM = ballistics is { VelocityMps.Value: > 0 and var best } ? best * best / (2 * options.GravityMps2) : heightFlightTimeM,
            Form = events.Form,
            TakeoffFoot = events.TakeoffFoot,
            LandingFoot = events.LandingFoot,
            SecondFootLagS = events.SecondFootLagS,
            HeightFlightTimeM = heightFlightTimeM,
            TakeoffVelocityMps = velocityMps,
            HeightTakeoffVelocityM = velocityMps is > 0 ? velocityMps * velocityMps / (2 * options.GravityMps2) : null,
            TrunkRiseM = path?.RiseM,
            CrouchDepthM = path?.CrouchDepthM(events.Takeoff - preparationStart),
            PushOffTimeS = PushOffS(window, force),
            TurnPreparationDeg = turn.PreparationDeg,
            TurnFlightDeg = turn.FlightDeg,
            TurnRecoveryDeg = turn.RecoveryDeg,
            TurnRateTakeoffDps = turn.RateTakeoffDps,
            TurnRateTopDps = turn.RateTopDps,
            TurnRatePeakDps = turn.RatePeakDps,
            InertiaGrowth = turn.InertiaGrowth,
            SplitAngleDeg = split?.LargestDeg,
            SplitAngleAtPeakDeg = split?.AtPeakDeg,
            SplitHoldFraction = split?.HoldFraction,
            LandingShockG = shocks.PerSite,
            ShockAttenuationPercent = shocks.AttenuationPercent,
            ShockTransferDb = shocks.TransferDb,
            ShockRiseTimeS = shocks.RiseTimeS,
            AbsorptionTimeS = absorption?.TimeS,
            AbsorptionDepthM = absorption?.DepthM,
            Series = window.Series,
            Uncertainty = new(),
            Grade = Grade(window),
            Quality = [],
        };
        var uncertainty = Uncertainties.Of(window, record, ballistics, turn, split);
        return record with { Uncertainty = uncertainty, Quality = Quality(window, shocks, turn, uncertainty) };
    }

    /// <summary>How long before take-off the upward acceleration began: back from where the push faded to one g to where it rose above it.</summary>
    private static double? PushOffS(JumpWindow window, LocalSignal force)
    {
        var smooth = force.Filtered(PushOffCutoffHz, window.Trunk.SampleRateHz);
        var restMps2 = window.Trunk.GravityReferenceMps2;
        var index = Math.Min(smooth.IndexAtOrAfter(window.Events.Takeoff), smooth.Count - 1);
        while (index > 0 && smooth[index] <= restMps2)
        {
            index--;
        }

        var faded = index;
        while (index > 0 && smooth[index] > restMps2)
        {
            index--;
        }

        return index > 0 && index < faded ? window.Events.Takeoff - smooth.Crossing(index + 1, restMps2) : null;
    }

    private static LocalSignal CentreOfMassForce(JumpWindow window) => CentreOfMass.Over(
        window.Trunk,
        window.Left,
        window.Right,
        window.Events.Takeoff.PlusSeconds(-Ballistics.BeforeS),
        window.Events.Landing.PlusSeconds(Ballistics.AfterS),
        window.Arms).ForceUpMps2(null);

    private static SampleTime? TurnEnd(JumpWindow window)
    {
        SampleTime? below = null;
        var trunk = window.Trunk;
        for (var i = trunk.IndexAtOrAfter(window.Events.Landing); i < trunk.End && trunk[i].Time <= window.End; i++)
        {
            ref readonly var point = ref trunk[i];
            if (Math.Abs(point.AngularRateEarthRadps.Z) >= window.Options.TurnEndedRadps)
            {
                below = null;
            }
            else
            {
                below ??= point.Time;
                if (point.Time - below.Value >= TurnEndedForS)
                {
                    return below;
                }
            }
        }

        return null;
    }

    private static JumpGrade Grade(JumpWindow window) => window switch
    {
        { Left: null, Right: null } => JumpGrade.C,
        { Events.LandingIsSharp: true, Left: not null, Right: not null, Events.TakeoffFoot: not null } => JumpGrade.A,
        { Events.LandingIsSharp: true } => JumpGrade.B,
        _ => JumpGrade.C,
    };

    private static List<string> Quality(JumpWindow window, Shocks shocks, TurnMeasures turn, JumpUncertainty uncertainty)
    {
        var words = new List<string>();
        void Say(bool condition, string word)
        {
            if (condition)
            {
                words.Add(word);
            }
        }

        Say(window.Left is null, QualityWords.AnkleLeftMissing);
        Say(window.Right is null, QualityWords.AnkleRightMissing);
        Say(HasGap(window.Trunk, window) || HasGap(window.Left, window) || HasGap(window.Right, window), QualityWords.PacketGap);
        Say(
            shocks.Saturated.Any || TurnedTooFast(window.Trunk, window) || TurnedTooFast(window.Left, window)
                || TurnedTooFast(window.Right, window),
            QualityWords.Saturated);
        Say(shocks.Saturated.Trunk, QualityWords.SaturatedTrunk);
        Say(shocks.Saturated.AnkleLeft, QualityWords.SaturatedAnkleLeft);
        Say(shocks.Saturated.AnkleRight, QualityWords.SaturatedAnkleRight);
        Say(window.Trunk.UpSensor is null, QualityWords.NoStillPhase);
        Say(turn.RecoveryCut, QualityWords.RecoveryCut);
        Say(shocks.Unfiltered, QualityWords.LowSampleRate);
        Say(uncertainty.SplitAngleDeg > UnsureSplitDeg, QualityWords.SplitUnsure);
        return words;
    }

    /// <summary>A clipped gyroscope has lost part of a turn or of a leg's swing.</summary>
    private static bool TurnedTooFast(SampleTrack? track, JumpWindow window) =>
        HasMark(track, SampleMarks.GyroscopeSaturated, window.Candidate.PushOffStart, window.Events.Landing);

    private static bool HasGap(SampleTrack? track, JumpWindow window) =>
        HasMark(track, SampleMarks.Bridged | SampleMarks.AfterGap, window.Candidate.PushOffStart, window.End);

    private static bool HasMark(SampleTrack? track, SampleMarks marks, SampleTime from, SampleTime to)
    {
        if (track is null)
        {
            return false;
        }

        for (var i = track.IndexAtOrAfter(from); i < track.End && track[i].Time <= to; i++)
        {
            if ((track[i].Marks & marks) != SampleMarks.None)
            {
                return true;
            }
        }

        return false;
    }
}
