using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>How the trunk came to a stop after landing.</summary>
/// <param name="TimeS">First contact to the trunk's lowest point, s.</param>
/// <param name="DepthM">How far it sank, m.</param>
internal readonly record struct AbsorptionMeasure(double TimeS, double DepthM)
{
    /// <summary>
    /// Follows the trunk's velocity from first contact until it is no longer downward. It starts at the velocity of a body
    /// that has fallen for half the flight, g T / 2 downward. Null when it does not stop before <paramref name="until"/>.
    /// </summary>
    public static AbsorptionMeasure? Find(SampleTrack trunk, SampleTime landing, double flightTimeS, SampleTime until, double gravityMps2)
    {
        var velocity = -gravityMps2 * flightTimeS / 2;
        var depth = 0.0;
        var time = landing;
        for (var i = trunk.IndexAtOrAfter(landing); i < trunk.End && trunk[i].Time <= until; i++)
        {
            var next = velocity + trunk.VelocityChangeMps(time, trunk[i].Time);
            var interval = trunk[i].Time - time;
            if (next >= 0)
            {
                var share = velocity < 0 ? -velocity / (next - velocity) : 0;
                return new(trunk[i].Time - landing - ((1 - share) * interval), depth - (velocity * share * interval / 2));
            }

            depth -= (velocity + next) / 2 * interval;
            velocity = next;
            time = trunk[i].Time;
        }

        return null;
    }
}
