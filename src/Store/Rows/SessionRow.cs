namespace Saltograph.Store.Rows;

/// <summary>A training of one athlete, opened by staff or by activity.</summary>
public sealed record SessionRow
{
    /// <summary>Opened or closed by the first packet after a silence, or by a silence.</summary>
    public const string Activity = "activity";

    /// <summary>Kinds: a class, work with an apparatus, a competition run-through.</summary>
    public const string ClassKind = "class", ApparatusKind = "apparatus", RunThroughKind = "run-through";

    /// <summary>Id.</summary>
    public required string Id { get; init; }

    /// <summary>Pseudonym.</summary>
    public required string Athlete { get; init; }

    /// <summary>Begin, us since 1970.</summary>
    public long OpenedUs { get; init; }

    /// <summary>Who opened it, or <see cref="Activity"/>.</summary>
    public required string OpenedBy { get; init; }

    /// <summary>End, us since 1970; null while it runs.</summary>
    public long? ClosedUs { get; init; }

    /// <summary>Who closed it, or <see cref="Activity"/>; null while it runs.</summary>
    public string? ClosedBy { get; init; }

    /// <summary><see cref="ClassKind"/>, <see cref="ApparatusKind"/> or <see cref="RunThroughKind"/>.</summary>
    public string Kind { get; init; } = ClassKind;

    /// <summary>Apparatus; null when none was entered.</summary>
    public string? Apparatus { get; init; }

    /// <summary>Notes of staff; null for none.</summary>
    public string? Notes { get; init; }

    /// <summary>Perceived exertion, 0 to 10; null when not entered.</summary>
    public double? Exertion { get; init; }

    /// <summary>Minutes that the exertion counts for; null: from open to close.</summary>
    public double? Minutes { get; init; }
}
