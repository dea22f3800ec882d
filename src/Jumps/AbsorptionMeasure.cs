using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>How the trunk came to a stop after landing.</summary>
/// <param name="TimeS">First contact to the trunk's lowest point, s.</param>
/// <param name="DepthM">How far it sank, m.</param>
internal readonly record struct AbsorptionMeasure(double TimeS, double DepthM)
{
    // The start velocity is g T / 2 of a body that lands as tall as it left; landing lower it is a little faster, so that
    // the integral may come to rest just short of zero. Within this, rest is where it stops changing.
    private const double RestOffsetMps = 0.25;
    private const double StoppedChangingMps = 0.02;

    /// <summary>
    /// Follows the trunk's velocity from first contact until it is no longer downward. It starts at the velocity of a body
    /// that has fallen for half the flight, g T / 2 downward. Null when it does not stop before <paramref name="until"/>.
    /// </summary>
    public static AbsorptionMeasure? Find(SampleTrack trunk, SampleTime landing, double flightTimeS, SampleTime until, double gravityMps2)
    {
        var startMps = -gravityMps2 * flightTimeS / 2;
        var largestMps = startMps;
        for (var i = trunk.IndexAtOrAfter(landing); i < trunk.End && trunk[i].Time <= until && largestMps < 0; i++)
        {
            largestMps = Math.Max(largestMps, startMps + trunk.VelocityChangeMps(landing, trunk[i].Time));
        }

        return largestMps >= 0 ? Until(trunk, landing, startMps, 0)
            : largestMps > -RestOffsetMps ? Until(trunk, landing, startMps, largestMps - StoppedChangingMps)
            : null;
    }

    private static AbsorptionMeasure Until(SampleTrack trunk, SampleTime landing, double startMps, double stopMps)
    {
        var velocity = startMps;
        var depth = 0.0;
        var time = landing;
        for (var i = trunk.IndexAtOrAfter(landing); i < trunk.End; i++)
        {
            var next = startMps + trunk.VelocityChangeMps(landing, trunk[i].Time);
            var interval = trunk[i].Time - time;
            if (next >= stopMps)
            {
                var share = next > velocity ? (stopMps - velocity) / (next - velocity) : 1;
                return new(time - landing + (share * interval), depth - ((velocity + stopMps) / 2 * share * interval));
            }

            depth -= (velocity + next) / 2 * interval;
            velocity = next;
            time = trunk[i].Time;
        }

        return new(time - landing, depth);
    }
}
