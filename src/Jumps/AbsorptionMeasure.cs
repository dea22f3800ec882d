using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>How the trunk came to a stop after landing.</summary>
/// <param name="TimeS">First contact to the trunk's lowest point, s.</param>
/// <param name="DepthM">How far it sank, m.</param>
internal readonly record struct AbsorptionMeasure(double TimeS, double DepthM)
{
    /// <summary>
    /// Follows the trunk's velocity from first contact until it is no longer downward. Null when it does not stop before
    /// <paramref name="until"/>, or when it was not downward at contact.
    /// </summary>
    public static AbsorptionMeasure? Find(SampleTrack trunk, in FootEvents events, SampleTime until, double gravityMps2)
    {
        if (Ballistics.TrunkAfterLanding(trunk, events, gravityMps2) is not var (times, velocities) || times.Length == 0)
        {
            return null;
        }

        var depth = 0.0;
        var longestS = until - events.Landing;
        for (var i = 1; i < times.Length && times[i] <= longestS; i++)
        {
            var interval = times[i] - times[i - 1];
            if (velocities[i] >= 0 && times[i] > 0)
            {
                var share = velocities[i] > velocities[i - 1] ? Math.Clamp(-velocities[i - 1] / (velocities[i] - velocities[i - 1]), 0, 1) : 1;
                var timeS = times[i - 1] + (share * interval);
                return timeS > 0 && depth - (velocities[i - 1] / 2 * share * interval) is > 0 and var metres ? new(timeS, metres) : null;
            }

            depth -= (velocities[i - 1] + velocities[i]) / 2 * interval;
        }

        return null;
    }
}
