using Saltograph.Store.Queries;

namespace Saltograph.Board.Records;

/// <summary>Which jumps make up one side of a comparison: one jump by its id, or all that match.</summary>
public sealed record JumpChoice
{
    /// <summary>Most jumps of a side; of more, the newest count.</summary>
    public const int Most = 300;

    /// <summary>Event id of one jump; then nothing else counts.</summary>
    public string? Jump { get; init; }

    /// <summary>Pseudonym; null for all.</summary>
    public string? Athlete { get; init; }

    /// <summary>Form; null for all.</summary>
    public string? Form { get; init; }

    /// <summary>Id of a training; null for all.</summary>
    public string? Session { get; init; }

    /// <summary>Landings from this instant on, us since 1970; null without begin.</summary>
    public long? FromUs { get; init; }

    /// <summary>Landings before this instant, us since 1970; null without end.</summary>
    public long? BeforeUs { get; init; }

    /// <summary>Whether anything was chosen.</summary>
    public bool IsEmpty => this == new JumpChoice();

    /// <summary>The same as a question to the store.</summary>
    public JumpFilter Filter => new() { Athlete = Athlete, Form = Form, Session = Session, FromUs = FromUs, BeforeUs = BeforeUs, NewestFirst = true, Limit = Most };
}
