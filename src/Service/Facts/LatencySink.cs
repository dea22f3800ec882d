using Saltograph.Imu;
using Saltograph.Pipeline;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Facts;

/// <summary>Measures how long a landing takes to become an event, and which sensors lose packets, while it happens.</summary>
internal sealed class LatencySink(ServiceMetrics metrics, TimeProvider time) : IFactSink
{
    /// <inheritdoc/>
    public string Name => "latency";

    /// <inheritdoc/>
    public bool MustMissNothing => false;

    /// <inheritdoc/>
    public ValueTask EmitAsync(Fact fact, CancellationToken stop)
    {
        switch (fact)
        {
            case LandingMeasured landing:
                Tell("landing", landing.Athlete, landing.Landing.LandingTime);
                break;
            case JumpMeasured jump:
                Tell("jump", jump.Athlete, jump.Jump.LandingTime);
                break;
            case SensorReported { Sensor: { Kind: SensorFactKind.Gap } gap }:
                metrics.PacketsLost(gap.Sensor, gap.Count);
                break;
            default:
                break;
        }

        return ValueTask.CompletedTask;
    }

    private void Tell(string what, AthleteId athlete, SampleTime landing)
    {
        metrics.EventTold(what, HallClock.Now(time) - landing);
        Traces.Told(what, athlete, HallClock.ToDateTime(landing));
    }
}
