using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Wire.Packets;

namespace Saltograph.Pipeline;

/// <summary>What became of a packet.</summary>
public enum PacketOutcome
{
    /// <summary>Taken; its samples are on their way or wait for their turn.</summary>
    Accepted,

    /// <summary>Its sequence number was there before: dropped.</summary>
    Duplicate,

    /// <summary>Its turn is past: it had been given up, or came before everything known of this power-up. Dropped.</summary>
    Late,

    /// <summary>From a power-up that a later one has replaced: dropped.</summary>
    StaleBoot,

    /// <summary>Its sequence number says that more packets are missing than its clock has room for: damaged. Dropped.</summary>
    Contradictory,

    /// <summary>Not a packet; the verdict says why.</summary>
    Rejected,

    /// <summary>A sample rate outside 50 to 2000 Hz.</summary>
    UnsupportedRate,

    /// <summary>A sensor that this athlete does not wear.</summary>
    UnknownSensor,
}

/// <summary>An early landing with its name.</summary>
/// <param name="Id">Repeatable: the same for every replay of the same packets, in whatever order they arrive.</param>
/// <param name="Landing">What is known.</param>
public sealed record LandingEvent(string Id, LandingFact Landing);

/// <summary>A complete jump with its name.</summary>
/// <param name="Id">Repeatable, as for landings.</param>
/// <param name="Jump">The record; its times are on the hall clock.</param>
public sealed record JumpEvent(string Id, JumpRecord Jump);

/// <summary>What one or more calls of <see cref="AthletePipeline"/> found out. Owned and cleared by the caller; used again and again.</summary>
public sealed class PipelineOutput
{
    /// <summary>Landings at the first sign.</summary>
    public List<LandingEvent> Landings { get; } = [];

    /// <summary>Complete jumps.</summary>
    public List<JumpEvent> Jumps { get; } = [];

    /// <summary>What became known about sensors.</summary>
    public List<SensorFact> Sensors { get; } = [];

    /// <summary>Falls of the velocity that were no jumps, for the log.</summary>
    public List<RefusedFlight> RefusedFlights { get; } = [];

    /// <summary>How the trunk moved, sample by sample: for screens.</summary>
    public List<TrunkMotion> Trunk { get; } = [];

    /// <summary>What became of the packet pushed last.</summary>
    public PacketOutcome Outcome { get; internal set; }

    /// <summary>Why the packet pushed last was rejected, with what was found and what is allowed.</summary>
    public PacketVerdict Verdict { get; internal set; }

    /// <summary>Empties it.</summary>
    public void Clear()
    {
        Landings.Clear();
        Jumps.Clear();
        Sensors.Clear();
        RefusedFlights.Clear();
        Trunk.Clear();
        Outcome = PacketOutcome.Accepted;
        Verdict = default;
    }
}

/// <summary>Counts of one sensor since the pipeline was made.</summary>
/// <param name="Accepted">Packets taken.</param>
/// <param name="Duplicates">Packets that came again.</param>
/// <param name="Late">Packets whose turn was past.</param>
/// <param name="StaleBoots">Packets of a replaced power-up.</param>
/// <param name="Contradictory">Packets whose sequence number and clock contradict each other.</param>
/// <param name="UnsupportedRates">Packets with a sample rate outside the range.</param>
/// <param name="Rejected">Messages that were no packets.</param>
/// <param name="Lost">Packets given up.</param>
/// <param name="Boots">Power-ups seen.</param>
/// <param name="Samples">Samples handed on.</param>
/// <param name="OvertakenSamples">Samples dropped because the other sensors had not been kept waiting longer.</param>
public readonly record struct SensorCounts(
    long Accepted,
    long Duplicates,
    long Late,
    long StaleBoots,
    long Contradictory,
    long UnsupportedRates,
    long Rejected,
    long Lost,
    long Boots,
    long Samples,
    long OvertakenSamples);
