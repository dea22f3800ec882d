using Saltograph.Ahrs;
using Saltograph.Jumps;

namespace Saltograph.Pipeline.Motion;

/// <summary>How samples become jumps. Free of sample rates.</summary>
public sealed record MotionOptions
{
    /// <summary>The orientation filter of every site.</summary>
    public VqfOptions Orientation { get; init; } = new();

    /// <summary>What counts as a jump.</summary>
    public JumpOptions Jumps { get; init; } = new();

    /// <summary>
    /// Longest gap that is bridged by straight lines, s. 0 to 1; default 0.5. A longer gap of the trunk ends a running
    /// flight. Larger guesses more, smaller loses jumps on a bad radio link.
    /// </summary>
    public double LongestBridgeS { get; init; } = 0.5;

    /// <summary>Refuses values outside their ranges.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Names the option, what was found and what is allowed.</exception>
    public void Validate()
    {
        Orientation.Validate();
        Jumps.Validate();
        if (!(LongestBridgeS is >= 0 and <= 1))
        {
            throw new ArgumentOutOfRangeException(
                nameof(LongestBridgeS),
                FormattableString.Invariant($"{nameof(LongestBridgeS)} is {LongestBridgeS}; allowed: 0 to 1 s."));
        }
    }
}
