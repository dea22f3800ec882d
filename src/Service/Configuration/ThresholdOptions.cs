using Saltograph.Pipeline;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Configuration;

/// <summary>File <c>thresholds.json</c>: how samples become jumps.</summary>
internal sealed record ThresholdOptions
{
    /// <summary>Order of packets, orientation, detection and measures.</summary>
    public PipelineOptions Pipeline { get; init; } = new();

    /// <summary>Bands below a straight line in which judges grade a split.</summary>
    public SplitBandOptions SplitBands { get; init; } = new();

    /// <summary>Every fault of the options; none when they may be used.</summary>
    /// <param name="file">The file they came from, for the messages.</param>
    public IEnumerable<InputFault> Faults(string file)
    {
        InputFault? fault = null;
        try
        {
            Pipeline.Validate();
        }
        catch (ArgumentException problem) // the options of the core name the key, what was found and what is allowed
        {
            fault = new(file, problem.Message, "see config/README.md", null, problem.ParamName);
        }

        return fault is null ? SplitBands.Faults(file) : [fault, .. SplitBands.Faults(file)];
    }
}
