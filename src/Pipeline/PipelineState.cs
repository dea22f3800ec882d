using Saltograph.Imu;
using Saltograph.Pipeline.Streams;

namespace Saltograph.Pipeline;

/// <summary>Memory of an <see cref="AthletePipeline"/>; opaque. It may be restored more than once.</summary>
public sealed class PipelineState
{
    internal AthleteId Athlete { get; init; }

    internal SensorStream[] Streams { get; init; } = [];

    internal long[] Faults { get; init; } = [];

    internal MergeState? Merge { get; init; }
}
