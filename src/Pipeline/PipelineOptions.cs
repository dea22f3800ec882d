using Saltograph.Pipeline.Motion;

namespace Saltograph.Pipeline;

/// <summary>How packets become a stream of samples, and samples jumps.</summary>
public sealed record PipelineOptions
{
    private const double YearS = 365.0 * 86400;

    /// <summary>Orientation and detection.</summary>
    public MotionOptions Motion { get; init; } = new();

    /// <summary>
    /// How long a missing packet is waited for, in data of the same sensor that came after the packet that showed it missing, s. 0 to 5; default 0.5. Smaller loses packets
    /// that only came late; larger holds everything back longer whenever one is really lost.
    /// </summary>
    public double ReorderWindowS { get; init; } = 0.5;

    /// <summary>
    /// How long the samples of one sensor wait for those of another, in data, beyond the length of the other's packets, s. 0.1 to 5; default 0.5. Smaller
    /// drops samples of a sensor whose packets are slow; larger makes events late when a sensor falls silent, once.
    /// </summary>
    public double LongestWaitS { get; init; } = 0.5;

    /// <summary>
    /// How far after its arrival a stated offset may put the last sample of a packet, s. 0.01 to 31,536,000; default 0.1.
    /// Nothing arrives before it was measured, so this is the error of statement and stamps alone. Smaller refuses rough
    /// statements; larger believes wrong ones. Where packets come faster than they were made, what they gain is added.
    /// </summary>
    public double MostStatedAheadS { get; init; } = 0.1;

    /// <summary>
    /// How far before the time found from arrivals a stated offset may put samples, s. 0.1 to 31,536,000; default 3.
    /// Smaller refuses true statements where every packet waits on its way; larger believes wrong ones.
    /// </summary>
    public double MostStatedBehindS { get; init; } = 3;

    /// <summary>Refuses values outside their ranges.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Names the option, what was found and what is allowed.</exception>
    public void Validate()
    {
        Motion.Validate();
        if (!(ReorderWindowS is >= 0 and <= 5))
        {
            throw new ArgumentOutOfRangeException(
                nameof(ReorderWindowS),
                FormattableString.Invariant($"{nameof(ReorderWindowS)} is {ReorderWindowS}; allowed: 0 to 5 s."));
        }

        if (!(LongestWaitS is >= 0.1 and <= 5))
        {
            throw new ArgumentOutOfRangeException(
                nameof(LongestWaitS),
                FormattableString.Invariant($"{nameof(LongestWaitS)} is {LongestWaitS}; allowed: 0.1 to 5 s."));
        }

        if (!(MostStatedAheadS is >= 0.01 and <= YearS))
        {
            throw new ArgumentOutOfRangeException(
                nameof(MostStatedAheadS),
                FormattableString.Invariant($"{nameof(MostStatedAheadS)} is {MostStatedAheadS}; allowed: 0.01 to {YearS} s."));
        }

        if (!(MostStatedBehindS is >= 0.1 and <= YearS))
        {
            throw new ArgumentOutOfRangeException(
                nameof(MostStatedBehindS),
                FormattableString.Invariant($"{nameof(MostStatedBehindS)} is {MostStatedBehindS}; allowed: 0.1 to {YearS} s."));
        }
    }
}
