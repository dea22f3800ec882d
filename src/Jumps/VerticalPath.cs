using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>The trunk's way up and down since the athlete last stood still, by double integration.</summary>
/// <param name="TakeoffVelocityMps">Upward velocity of the centre of mass at take-off, m/s.</param>
/// <param name="CrouchDepthM">How far the trunk had sunk before the push-off, below where it stood, m; 0 or more.</param>
/// <param name="TrunkRiseM">Highest point of the trunk in the air above its place at take-off, m.</param>
/// <param name="SinceStillS">How long ago the athlete stood still at take-off, s: the longer, the less sure.</param>
/// <remarks>
/// Standing still gives the velocity, zero, and the reading at one g; without it nothing here is measured, because an
/// offset of 0.1 m/s2 over 3 s is already 0.3 m/s. Double integration counts the rise on the toes into the way of the
/// trunk, but not into the velocity.
/// </remarks>
internal readonly record struct VerticalPath(double TakeoffVelocityMps, double CrouchDepthM, double TrunkRiseM, double SinceStillS)
{
    // Push-offs from standing begin at most this long after the athlete last stood still.
    private const double StillBeforeS = 3;

    /// <summary>Integrates; null when the athlete did not stand still shortly before.</summary>
    public static VerticalPath? Find(SampleTrack trunk, in FootEvents events)
    {
        var still = LastStill(trunk, events.Takeoff);
        if (still is not { } start)
        {
            return null;
        }

        var startVelocity = trunk[start].VelocityUpMps;
        var height = 0.0;
        var lowest = 0.0;
        var takeoffHeight = 0.0;
        var highest = double.NegativeInfinity;
        for (var i = start + 1; i < trunk.End && trunk[i].Time <= events.Landing; i++)
        {
            ref readonly var point = ref trunk[i];
            ref readonly var before = ref trunk[i - 1];
            height += (point.Time - before.Time)
                * (((before.VelocityUpMps + point.VelocityUpMps) / 2) - startVelocity);
            if (point.Time <= events.Takeoff)
            {
                lowest = Math.Min(lowest, height);
                takeoffHeight = height;
            }

            highest = Math.Max(highest, height);
        }

        return new(
            trunk.BodyVelocityChangeMps(trunk[start].Time, events.Takeoff),
            -lowest,
            highest - takeoffHeight,
            events.Takeoff - trunk[start].Time);
    }

    private static long? LastStill(SampleTrack trunk, SampleTime takeoff)
    {
        var earliest = trunk.IndexAtOrAfter(takeoff.PlusSeconds(-StillBeforeS));
        for (var i = trunk.IndexAtOrAfter(takeoff) - 1; i >= earliest; i--)
        {
            if (trunk[i].IsStill)
            {
                return i;
            }
        }

        return null;
    }
}
