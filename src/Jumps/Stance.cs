using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Tells a standing leg from a free one by how its shank moves.</summary>
/// <remarks>
/// The ankle of a standing leg does not move, so that the mean specific force of its shank stays near gravity, whatever the
/// body above does. A free leg is swung, or goes with the body that is pushed up or slowed down: its mean is off by a g or
/// more. The mean over some tens of milliseconds is used, because a shank that turns about its ankle, and a strap that
/// rings, average out.
/// </remarks>
internal static class Stance
{
    // Earlier the feet may still be arriving, later the heel leaves the floor and the shank whips.
    private const double TakeoffFromS = -0.18;
    private const double TakeoffToS = -0.09;

    // Of 1865 simulated take-offs the busier ankle of two that push is off by 0.74 g at most here (99 per cent); where only one
    // pushes the other swings, by 1.18 g or more (99 per cent).
    private const double PushingBelowG = 0.85;

    // After the transients of forefoot and heel, before the knee has done bending. On 4771 simulated landings the busier ankle of two that
    // stand is off by 1.03 g at most (98 per cent), a free one by 1.72 g or more (98 per cent); the sensors of single shanks by 0.9 g at most (96 per cent) and 1.3 g or more.
    private const double LandingFromS = 0.09;
    private const double LandingToS = 0.16;
    private const double StandingBelowG = 1.25;

    // On two feet both shanks do the same: spreads of the two logarithms of ratios, and how many make a difference.
    private const double ForceSpread = 0.20;
    private const double RateSpread = 0.15;
    private const double Different = 2;

    // After a landing both may be carried by a floor that gives way: alike within a factor of 1.6 they stand, however much they move.
    private const double LandingAlike = 0.5;

    // The sensor sits this far above the ankle, about which a standing shank turns.
    private const double SensorAboveAnkleM = 0.08;

    // Added to both sides of a ratio: two shanks that hardly move are alike, whatever their ratio.
    private const double ForceFloorMps2 = 3;
    private const double RateFloorRadps = 0.3;

    /// <summary>The foot, or both, that left the floor last; null without samples of both shanks.</summary>
    public static Foot? AtTakeoff(SampleTrack? left, SampleTrack? right, SampleTime takeoff)
    {
        var from = takeoff.PlusSeconds(TakeoffFromS);
        var to = takeoff.PlusSeconds(TakeoffToS);
        if (left is null || right is null || !left.Covers(from, to) || !right.Covers(from, to))
        {
            return null;
        }

        var (leftMps2, rightMps2) = (AnkleAccelerationMps2(left, from, to), AnkleAccelerationMps2(right, from, to));
        var force = LogRatio(rightMps2, leftMps2, ForceFloorMps2);
        var rate = LogRatio(RateRadps(right, from, to), RateRadps(left, from, to), RateFloorRadps);
        var spreads = Math.Sqrt(Math.Pow(force / ForceSpread, 2) + Math.Pow(rate / RateSpread, 2));
        var bothPush = Math.Max(leftMps2, rightMps2) < PushingBelowG * Gravity.StandardMps2;
        return bothPush || !(spreads > Different) ? Foot.Both : force > 0 ? Foot.Left : Foot.Right;
    }

    /// <summary>Whether the foot stands after a contact; null while there are not yet samples enough to tell.</summary>
    public static bool? After(SampleTrack shank, SampleTime contact)
    {
        var from = contact.PlusSeconds(LandingFromS);
        var to = contact.PlusSeconds(LandingToS);
        return shank.Covers(from, to)
            ? AccelerationMps2(shank, from, to) < StandingBelowG * Gravity.StandardMps2
            : null;
    }

    /// <summary>The foot, or both, that stands after a landing; null while there are not yet samples enough of both shanks.</summary>
    public static Foot? AtLanding(SampleTrack left, SampleTrack right, SampleTime landing)
    {
        var from = landing.PlusSeconds(LandingFromS);
        var to = landing.PlusSeconds(LandingToS);
        if (!left.Covers(from, to) || !right.Covers(from, to))
        {
            return null;
        }

        var (leftMps2, rightMps2) = (AnkleAccelerationMps2(left, from, to), AnkleAccelerationMps2(right, from, to));
        var force = LogRatio(rightMps2, leftMps2, ForceFloorMps2);
        var bothStand = Math.Max(leftMps2, rightMps2) < StandingBelowG * Gravity.StandardMps2;
        return bothStand || Math.Abs(force) <= LandingAlike ? Foot.Both : force > 0 ? Foot.Left : Foot.Right;
    }

    private static double LogRatio(double a, double b, double floor) => Math.Log((a + floor) / (b + floor));

    /// <summary>Length of the mean acceleration of the sensor, m/s2.</summary>
    private static double AccelerationMps2(SampleTrack shank, SampleTime from, SampleTime to) => MeanMps2(shank, from, to).Length;

    /// <summary>
    /// Length of the mean acceleration of the ankle, m/s2: the sensor's, and the change of its velocity around the ankle,
    /// omega x r, over the window.
    /// </summary>
    private static double AnkleAccelerationMps2(SampleTrack shank, SampleTime from, SampleTime to)
    {
        if (shank.UpSensor is not { } upSensor)
        {
            return AccelerationMps2(shank, from, to);
        }

        Vector3D AroundSensorMps(SampleTime time)
        {
            ref readonly var point = ref shank[shank.IndexNearest(time)];
            return Vector3D.Cross(point.AngularRateEarthRadps, -SensorAboveAnkleM * point.EarthFromSensor.Rotate(upSensor));
        }

        return (MeanMps2(shank, from, to) + ((AroundSensorMps(to) - AroundSensorMps(from)) / (to - from))).Length;
    }

    private static Vector3D MeanMps2(SampleTrack shank, SampleTime from, SampleTime to)
    {
        var sum = Vector3D.Zero;
        var count = 0;
        for (var i = shank.IndexAtOrAfter(from); i < shank.End && shank[i].Time <= to; i++)
        {
            sum += shank[i].SpecificForceEarthMps2;
            count++;
        }

        return (sum / Math.Max(count, 1)) - new Vector3D(0, 0, shank.GravityReferenceMps2);
    }

    /// <summary>Root mean square of the turn rate, rad/s.</summary>
    private static double RateRadps(SampleTrack shank, SampleTime from, SampleTime to) =>
        Math.Sqrt(LocalSignal.Take(shank, from, to, point => point.AngularRateEarthRadps.LengthSquared, null).Mean(from, to));
}
