namespace Saltograph.Store.Recordings;

/// <summary>What stands at the beginning of each file of a recording: enough to run it again without any other file.</summary>
public sealed record RecordingHeader
{
    /// <summary>Pseudonym of the athlete.</summary>
    public required string Athlete { get; init; }

    /// <summary>Arrival of the first packet, us since 1970.</summary>
    public required long OpenedUs { get; init; }

    /// <summary>The hall.</summary>
    public required string Hall { get; init; }

    /// <summary>Sites by sensor.</summary>
    public required IReadOnlyDictionary<string, string> Sensors { get; init; }

    /// <summary>Options of the measuring, JSON.</summary>
    public required string Settings { get; init; }

    /// <summary>Version of the program that measured it.</summary>
    public required string Program { get; init; }

    /// <summary>Whether packets are sealed with a key of the athlete; default false.</summary>
    public bool IsSealed { get; init; }

    /// <summary>Id: athlete and arrival of the first packet.</summary>
    public string Id => IdOf(Athlete, OpenedUs);

    /// <summary>The id of a recording.</summary>
    public static string IdOf(string athlete, long openedUs) => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{athlete}-{openedUs}");

    /// <summary>Whether it can go on with these settings: same hall, sensors, options and program.</summary>
    public bool IsMeasuredLike(RecordingHeader other)
    {
        ArgumentNullException.ThrowIfNull(other);
        return Hall == other.Hall && Settings == other.Settings && Program == other.Program && Sensors.Count == other.Sensors.Count
            && Sensors.All(pair => other.Sensors.TryGetValue(pair.Key, out var site) && site == pair.Value);
    }
}

/// <summary>A raw packet as it arrived.</summary>
/// <param name="ReceivedUs">When, us since 1970.</param>
/// <param name="Sensor">Whose.</param>
/// <param name="Bytes">The packet.</param>
public readonly record struct RecordedPacket(long ReceivedUs, string Sensor, ReadOnlyMemory<byte> Bytes);

/// <summary>The end of a file that is no whole record: the process or the machine died while it was written.</summary>
/// <param name="File">The file.</param>
/// <param name="GoodBytes">Length of what is whole.</param>
/// <param name="TornBytes">Length of the rest.</param>
public sealed record TornTail(string File, long GoodBytes, long TornBytes);
