namespace Saltograph.Store.Rows;

/// <summary>A first word of a landing.</summary>
public sealed record LandingRow
{
    /// <summary>Id of the event.</summary>
    public required string Id { get; init; }

    /// <summary>Pseudonym.</summary>
    public required string Athlete { get; init; }

    /// <summary>First contact, us since 1970.</summary>
    public long LandingUs { get; init; }

    /// <summary>Flight time, s.</summary>
    public double FlightTimeS { get; init; }

    /// <summary><c>left</c>, <c>right</c>, <c>both</c> or null.</summary>
    public string? LandingFoot { get; init; }
}

/// <summary>One continuous measuring of an athlete, whose raw packets are in files.</summary>
public sealed record RecordingRow
{
    /// <summary>Id: athlete and time of its first packet.</summary>
    public required string Id { get; init; }

    /// <summary>Pseudonym.</summary>
    public required string Athlete { get; init; }

    /// <summary>Its first packet, us since 1970.</summary>
    public long OpenedUs { get; init; }

    /// <summary>When it was finished, us since 1970; null while it runs, and after a crash until it was run again.</summary>
    public long? ClosedUs { get; init; }
}

/// <summary>Something about a sensor.</summary>
public sealed record SensorEventRow
{
    /// <summary>Id of the event.</summary>
    public required string Id { get; init; }

    /// <summary>Pseudonym of the one who wears it.</summary>
    public required string Athlete { get; init; }

    /// <summary>Which sensor.</summary>
    public required string Sensor { get; init; }

    /// <summary>Where it sits.</summary>
    public required string Site { get; init; }

    /// <summary>What.</summary>
    public required string Kind { get; init; }

    /// <summary>When, us since 1970.</summary>
    public long AtUs { get; init; }

    /// <summary>Packets, samples or hertz, as the kind says.</summary>
    public long Amount { get; init; }

    /// <summary>Length, s; null for kinds without one.</summary>
    public double? DurationS { get; init; }
}

/// <summary>A plan, or limits after an injury, of one day.</summary>
public sealed record PlanRow
{
    /// <summary>Kind of a training plan.</summary>
    public const string PlanKind = "plan";

    /// <summary>Kind of the limits of a return to play.</summary>
    public const string ReturnToPlayKind = "return-to-play";

    /// <summary>Pseudonym.</summary>
    public required string Athlete { get; init; }

    /// <summary>Day in the hall's zone, <c>yyyy-MM-dd</c>.</summary>
    public required string Day { get; init; }

    /// <summary><see cref="PlanKind"/> or <see cref="ReturnToPlayKind"/>.</summary>
    public required string Kind { get; init; }

    /// <summary>The limits, JSON.</summary>
    public required string Limits { get; init; }

    /// <summary>When it was entered, us since 1970.</summary>
    public long EnteredUs { get; init; }

    /// <summary>By whom.</summary>
    public required string EnteredBy { get; init; }
}

/// <summary>An event that the broker has still to confirm.</summary>
public sealed record OutboxRow
{
    /// <summary>Place in the order; given when it is written.</summary>
    public long Number { get; init; }

    /// <summary>Id of the event.</summary>
    public required string Id { get; init; }

    /// <summary>Where it is published.</summary>
    public required string Topic { get; init; }

    /// <summary>Media type.</summary>
    public required string ContentType { get; init; }

    /// <summary>Whether the broker keeps it for later subscribers.</summary>
    public bool Retain { get; init; }

    /// <summary>The text that is published.</summary>
    public required string Payload { get; init; }

    /// <summary>When it was written, us since 1970.</summary>
    public long CreatedUs { get; init; }
}
