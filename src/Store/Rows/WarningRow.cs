namespace Saltograph.Store.Rows;

/// <summary>A warning as it stands now.</summary>
public sealed record WarningRow
{
    /// <summary>Id, repeatable for the same facts.</summary>
    public required string Id { get; init; }

    /// <summary>Pseudonym.</summary>
    public required string Athlete { get; init; }

    /// <summary>The rule that raised it.</summary>
    public required string Rule { get; init; }

    /// <summary>Channel: landing, overload, advice, sensor, as the rules name them.</summary>
    public required string Channel { get; init; }

    /// <summary>Priority, as the rules name it.</summary>
    public required string Priority { get; init; }

    /// <summary>State, in the words of alarms.</summary>
    public required string State { get; init; }

    /// <summary>Whether somebody has still to do something with it: what the open list shows.</summary>
    public bool Active { get; init; }

    /// <summary>When it was raised, us since 1970.</summary>
    public long RaisedUs { get; init; }

    /// <summary>When its state changed last, us since 1970.</summary>
    public long ChangedUs { get; init; }

    /// <summary>End of a shelving, us since 1970; null when not shelved.</summary>
    public long? ShelvedUntilUs { get; init; }

    /// <summary>What led to it, JSON.</summary>
    public required string Detail { get; init; }
}

/// <summary>A change of a warning's state.</summary>
public sealed record WarningChangeRow
{
    /// <summary>Which warning.</summary>
    public required string Warning { get; init; }

    /// <summary>Running number in the warning's history, from 1.</summary>
    public long Number { get; init; }

    /// <summary>When, us since 1970.</summary>
    public long AtUs { get; init; }

    /// <summary>The state afterwards.</summary>
    public required string State { get; init; }

    /// <summary>Who changed it; null when the rule did.</summary>
    public string? Who { get; init; }

    /// <summary>The reason given; null for none.</summary>
    public string? Why { get; init; }

    /// <summary>More, JSON; null for none.</summary>
    public string? Detail { get; init; }
}

/// <summary>Something that warnings were judged by: a jump, a limit, a figure of a sensor, a command.</summary>
public sealed record WarningInputRow
{
    /// <summary>Place in the order, from 1; given by the caller.</summary>
    public long Number { get; init; }

    /// <summary>The time at which it was judged, us since 1970.</summary>
    public long AtUs { get; init; }

    /// <summary>What it is, a word of the caller.</summary>
    public required string Kind { get; init; }

    /// <summary>Pseudonym; empty when it names a warning only.</summary>
    public required string Athlete { get; init; }

    /// <summary>The rest, JSON of the caller.</summary>
    public required string Body { get; init; }
}
