using Saltograph.Imu;
using Saltograph.Simulator.Sensors;

namespace Saltograph.Simulator.Session;

/// <summary>What to simulate. The same options give the same bytes on every machine.</summary>
public sealed record SimulationOptions
{
    /// <summary>Seed of everything drawn. Default 1.</summary>
    public ulong Seed { get; init; } = 1;

    /// <summary>Number of gymnasts. 1 to 200; default 1.</summary>
    public int AthleteCount { get; init; } = 1;

    /// <summary>Length of the recording, s: no element starts later, the last is finished and followed by 3 s of
    /// standing. 5 to 86 400; default 300.</summary>
    public double DurationS { get; init; } = 300;

    /// <summary>Skill of all gymnasts, 0 (novice) to 1 (expert); null (default): each draws her own.</summary>
    public double? SkillFraction { get; init; }

    /// <summary>Whether a session begins with some seconds of quiet standing; default true.</summary>
    public bool StartsStill { get; init; } = true;

    /// <summary>Whether the recording shows straps being put on before and taken off after the session; default false.</summary>
    public bool Strapping { get; init; }

    /// <summary>How often a gymnast first does the check of her sensors: stand still, rise on the toes, lift the left foot. 0 to 1000; default 0.</summary>
    public int SensorChecks { get; init; }

    /// <summary>What happens out of the ordinary: <see cref="Drill"/>, <see cref="StiffLandings"/>, <see cref="Tiring"/>, <see cref="DeadSensor"/>. Default none. Other gymnasts are the same with and without.</summary>
    public IReadOnlyList<Episode> Episodes { get; init; } = [];

    /// <summary>The sensors.</summary>
    public SensorOptions Sensors { get; init; } = new();

    /// <summary>Throws <see cref="ArgumentException"/> that names every wrong key, what was found and what is allowed.</summary>
    public void Validate()
    {
        var faults = Faults().ToList();
        if (faults.Count > 0)
        {
#pragma warning disable MA0015 // The faulty argument is the record itself, which the message names key by key.
            throw new ArgumentException(string.Join(" ", faults));
#pragma warning restore MA0015
        }
    }

    /// <summary>What is wrong, one message per key; empty when nothing is.</summary>
    public IEnumerable<string> Faults()
    {
        if (AthleteCount is < 1 or > 200)
        {
            yield return $"AthleteCount {AthleteCount} must be inside 1 to 200.";
        }

        if (!(DurationS is >= 5 and <= 86_400))
        {
            yield return FormattableString.Invariant($"DurationS {DurationS} must be inside 5 to 86400.");
        }

        if (SkillFraction is { } skill && !(skill is >= 0 and <= 1))
        {
            yield return FormattableString.Invariant($"SkillFraction {skill} must be inside 0 to 1.");
        }

        if (SensorChecks is < 0 or > 1000)
        {
            yield return $"SensorChecks {SensorChecks} must be inside 0 to 1000.";
        }

        foreach (var fault in Sensors.Faults().Concat(Episodes.SelectMany((episode, i) => episode.Faults($"Episodes[{i}]", AthleteCount))))
        {
            yield return fault;
        }
    }
}
