using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Elements;
using Saltograph.Simulator.Motion;
using Saltograph.Simulator.Sensors;

namespace Saltograph.Simulator.Truth;

/// <summary>Reads the true measures of a jump off the movement itself, on a fine grid, without sensors.</summary>
internal sealed class TruthMeasures(Movement movement, Mount[] mounts, double stepS)
{
    /// <summary>How long after landing the movement must be known, s.</summary>
    public const double AfterLandingS = 1.1;

    private const double BeforeS = 1.05;
    private const double ShockWindowS = 0.12;
    private const double MeanOverS = 0.02;
    private const double TurnEndsDps = 15;
    private const double SmallestRateForGrowthDps = 30;
    private const double TogetherS = 0.005;

    /// <summary>Measures one planned jump. The next take-off (infinite when there is none) cuts the recovery.</summary>
    public TruthJump Measure(AthleteId athlete, int number, PlannedJump jump, double nextTakeoffS)
    {
        var flight = jump.Launched.Flight;
        var (takeoff, landing) = (flight.TakeoffS, flight.LandingS);
        var peak = takeoff + Math.Clamp(flight.TakeoffVelocityMps.Z / Gravity.StandardMps2, 0, landing - takeoff);
        var startS = takeoff - BeforeS;
        var count = (int)Math.Ceiling((landing + AfterLandingS - startS) / stepS) + 1;
        var poses = new Pose[count];
        for (var i = 0; i < count; i++)
        {
            poses[i] = movement.At(startS + (i * stepS));
        }

        var turn = Turn(poses);
        double TurnBetween(double from, double to) => (TurnAt(turn, startS, to) - TurnAt(turn, startS, from)) * Angles.DegPerRad;
        double RateAt(double t) => TurnBetween(t - (MeanOverS / 2), t + (MeanOverS / 2)) / MeanOverS;

        var preparation = double.IsNaN(jump.PreviousLandingS) ? takeoff - 1 : Math.Max(takeoff - 1, jump.PreviousLandingS);
        var peakRate = 0.0;
        for (var t = preparation; t <= landing; t += 0.002)
        {
            peakRate = Math.Abs(RateAt(t)) > Math.Abs(peakRate) ? RateAt(t) : peakRate;
        }

        var recoveryEnd = landing + 0.01;
        var limit = Math.Min(landing + 1, nextTakeoffS);
        while (recoveryEnd < limit && Math.Abs(RateAt(recoveryEnd)) >= TurnEndsDps)
        {
            recoveryEnd += 0.002;
        }

        recoveryEnd = Math.Min(recoveryEnd, limit);
        var (rateTakeoff, rateTop) = (RateAt(takeoff), RateAt(peak));
        var split = SplitOf(poses, startS, takeoff, landing, peak);
        var trunkZ = new double[count];
        for (var i = 0; i < count; i++)
        {
            trunkZ[i] = mounts[0].PlaceOf(poses[i]).Z;
        }

        int IndexOf(double t) => Math.Clamp((int)Math.Round((t - startS) / stepS), 0, count - 1);
        var takeoffZ = trunkZ[IndexOf(takeoff)];
        var trunkTop = trunkZ[IndexOf(takeoff)..(IndexOf(landing) + 1)].Max();
        var lowest = IndexOf(landing);
        while (lowest + 1 < count && trunkZ[lowest + 1] <= trunkZ[lowest])
        {
            lowest++;
        }

        var before = trunkZ[IndexOf(preparation)..(IndexOf(takeoff) + 1)];
        var deepest = Array.IndexOf(before, before.Min());
        var crouch = before[..(deepest + 1)].Max() - before[deepest];
        var shocks = new (double PeakG, double AfterS)[Sites.Count];
        var first = FirstFoot(jump);
        for (var site = 0; site < Sites.Count; site++)
        {
            var contact = site == 0 ? landing : ContactOf(jump, site - 1, first);
            shocks[site] = double.IsNaN(contact) ? (double.NaN, double.NaN) : ShockOf(poses, mounts[site], startS, contact);
        }

        var height = Math.Max(0, flight.TakeoffVelocityMps.Z) * Math.Max(0, flight.TakeoffVelocityMps.Z) / (2 * Gravity.StandardMps2);
        var lag = jump.SecondContactS - landing;
        return new()
        {
            Athlete = athlete,
            Number = number,
            TakeoffS = takeoff,
            PeakS = peak,
            LandingS = landing,
            Form = jump.Form,
            TakeoffFoot = FootName(jump.TakeoffLegs[0], jump.TakeoffLegs[1]),
            LandingFoot = lag is < TogetherS ? "both" : FootName(first == 0, first == 1),
            SecondFootLagS = lag,
            HeightM = height,
            TrunkRiseM = trunkTop - takeoffZ,
            TakeoffVelocityMps = flight.TakeoffVelocityMps.Z,
            LandingDropM = flight.CentreAt(takeoff).Z - flight.CentreAt(landing).Z,
            PushOffTimeS = PushOff(takeoff, startS),
            CrouchDepthM = crouch,
            TurnPreparationDeg = TurnBetween(preparation, takeoff),
            TurnFlightDeg = TurnBetween(takeoff, landing),
            TurnRecoveryDeg = TurnBetween(landing, recoveryEnd),
            TurnRateTakeoffDps = rateTakeoff,
            TurnRateTopDps = rateTop,
            TurnRatePeakDps = peakRate,
            InertiaGrowth = Math.Min(Math.Abs(rateTakeoff), Math.Abs(rateTop)) >= SmallestRateForGrowthDps ? rateTakeoff / rateTop : null,
            SplitAngleDeg = split.LargestDeg,
            SplitAngleAtPeakDeg = split.AtPeakDeg,
            SplitHoldFraction = split.Hold,
            LegAzimuthOpeningDeg = split.OpeningDeg,
            KneeBendAtSplitDeg = split.KneeDeg,
            ShockTrunkG = shocks[0].PeakG,
            ShockAnkleLeftG = NullIfNan(shocks[1].PeakG),
            ShockAnkleRightG = NullIfNan(shocks[2].PeakG),
            ShockRiseTimeS = shocks[1 + first].AfterS,
            AbsorptionTimeS = startS + (lowest * stepS) - landing,
            AbsorptionDepthM = trunkZ[IndexOf(landing)] - trunkZ[lowest],
            SeriesId = jump.SeriesId > 0 ? jump.SeriesId : null,
            SeriesPosition = jump.SeriesId > 0 ? jump.SeriesPosition : null,
            ContactTimeS = NullIfNan(takeoff - jump.PreviousLandingS),
        };
    }

    private static double? NullIfNan(double value) => double.IsNaN(value) ? null : value;

    private static string FootName(bool left, bool right) => left && right ? "both" : left ? "left" : "right";

    private static int FirstFoot(PlannedJump jump) =>
        jump.LandingLegs[0] && jump.LandingLegs[1] ? jump.FirstFoot : jump.LandingLegs[0] ? 0 : 1;

    private static double ContactOf(PlannedJump jump, int leg, int first) =>
        !jump.LandingLegs[leg] ? double.NaN : leg == first ? jump.Launched.LandingS : jump.SecondContactS ?? double.NaN;

    /// <summary>Turn of the trunk about the vertical since the start, rad, at every pose.</summary>
    private static double[] Turn(Pose[] poses)
    {
        var turn = new double[poses.Length];
        for (var i = 1; i < poses.Length; i++)
        {
            var step = poses[i - 1].Trunk.RotationTo(poses[i].Trunk);
            turn[i] = turn[i - 1] + poses[i - 1].Trunk.Outward(step).Z;
        }

        return turn;
    }

    private double TurnAt(double[] turn, double startS, double timeS)
    {
        var place = Math.Clamp((timeS - startS) / stepS, 0, turn.Length - 1.001);
        var i = (int)place;
        return turn[i] + ((place - i) * (turn[i + 1] - turn[i]));
    }

    private double PushOff(double takeoffS, double startS)
    {
        const double h = 0.004;
        var t = takeoffS - (2 * h);
        while (t > startS && Acceleration(t) <= 0)
        {
            t -= 0.002;
        }

        while (t > startS && Acceleration(t) > 0)
        {
            t -= 0.002;
        }

        return takeoffS - t;
        double Acceleration(double at) =>
            (movement.CentreAt(at - h).Z - (2 * movement.CentreAt(at).Z) + movement.CentreAt(at + h).Z) / (h * h);
    }

    private (double LargestDeg, double AtPeakDeg, double Hold, double OpeningDeg, double KneeDeg) SplitOf(
        Pose[] poses, double startS, double takeoffS, double landingS, double peakS)
    {
        var first = (int)Math.Ceiling((takeoffS - startS) / stepS);
        var last = (int)Math.Floor((landingS - startS) / stepS);
        var angles = new double[last - first + 1];
        for (var i = first; i <= last; i++)
        {
            angles[i - first] = SplitAngle(-poses[i].Left.Shank.Z, -poses[i].Right.Shank.Z) * Angles.DegPerRad;
        }

        var largest = angles.Max();
        var at = poses[first + Array.IndexOf(angles, largest)];
        var atPeak = Math.Clamp((int)Math.Round((peakS - startS) / stepS) - first, 0, angles.Length - 1);
        var (l, r) = (-at.Left.Shank.Z, -at.Right.Shank.Z);
        var opening = Math.PI - Math.Abs(Angles.WrapRad(Math.Atan2(l.Y, l.X) - Math.Atan2(r.Y, r.X)));
        var knee = Math.Max(KneeBend(at.Left), KneeBend(at.Right));
        return (
            largest, angles[atPeak], angles.Count(a => a >= 0.9 * largest) / (double)angles.Length,
            opening * Angles.DegPerRad, knee * Angles.DegPerRad);
    }

    private static double KneeBend(in LegInSpace leg) =>
        Math.Acos(Math.Clamp(Vector3D.Dot((leg.Knee - leg.Hip).Normalized(), (leg.Ankle - leg.Knee).Normalized()), -1, 1));

    /// <summary>Sum of the inclinations of two downward axes within the vertical plane that they open, rad; may exceed pi.</summary>
    internal static double SplitAngle(Vector3D left, Vector3D right)
    {
        var (dx, dy) = (left.X - right.X, left.Y - right.Y);
        var length = Math.Sqrt((dx * dx) + (dy * dy));
        if (length < 1e-9)
        {
            return 0;
        }

        var leftAlong = ((left.X * dx) + (left.Y * dy)) / length;
        var rightAlong = ((right.X * dx) + (right.Y * dy)) / length;
        return Math.Atan2(leftAlong, -left.Z) + Math.Atan2(-rightAlong, -right.Z);
    }

    private (double PeakG, double AfterS) ShockOf(Pose[] poses, Mount mount, double startS, double contactS)
    {
        // From 0.3 s before contact, so that strap and filter have settled, to 0.1 s beyond the window.
        var from = Math.Max(0, (int)((contactS - 0.3 - startS) / stepS));
        var to = Math.Min(poses.Length, (int)((contactS + ShockWindowS + 0.1 - startS) / stepS));
        var kinematics = new Kinematics(stepS);
        var strap = mount.NewStrap(1 / stepS);
        var n = to - from;
        var x = new double[n];
        var y = new double[n];
        var z = new double[n];
        for (var i = from; i < to; i++)
        {
            var (place, frame) = mount.Feel(poses[i], movement, startS + (i * stepS));
            if (kinematics.Step(place, frame, out var force, out _))
            {
                var felt = strap.Step(force);
                (x[i - 1 - from], y[i - 1 - from], z[i - 1 - from]) = (felt.X, felt.Y, felt.Z);
            }
        }

        (x[0], y[0], z[0]) = (x[1], y[1], z[1]);
        (x[n - 1], y[n - 1], z[n - 1]) = (x[n - 2], y[n - 2], z[n - 2]);
        foreach (var axis in new[] { x, y, z })
        {
            LowPassBothWays.Apply(axis, 60, 1 / stepS);
        }

        var largest = 0.0;
        var at = 0.0;
        for (var i = 0; i < n; i++)
        {
            var t = startS + ((from + i) * stepS) - contactS;
            if (t is >= 0 and <= ShockWindowS)
            {
                var magnitude = new Vector3D(x[i], y[i], z[i]).Length;
                if (magnitude > largest)
                {
                    (largest, at) = (magnitude, t);
                }
            }
        }

        return (largest / Gravity.StandardMps2, at);
    }
}
