using Saltograph.Imu;
using Saltograph.Service.Athletes;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Fitting;

/// <summary>A measuring whose packets a check of sensors may look at.</summary>
internal sealed class WatchedMeasuring(AthleteId athlete, IAthleteMeasuring measuring, SensorChecks checks) : IAthleteMeasuring
{
    /// <inheritdoc/>
    public void Push(IncomingPacket packet, List<Fact> facts)
    {
        var known = facts.Count;
        measuring.Push(packet, facts);
        for (var i = known; i < facts.Count; i++)
        {
            if (facts[i] is SensorReported reported)
            {
                checks.Take(reported.Sensor);
            }
        }

        checks.Take(athlete, packet);
    }

    /// <inheritdoc/>
    public void Complete(List<Fact> facts) => measuring.Complete(facts);
}
