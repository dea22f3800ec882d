namespace Saltograph.Store.Rows;

/// <summary>A jump as it is looked for; the whole record beside it. Doubles are rounded to six decimals before they get here, so that sums are exact.</summary>
public sealed record JumpRow
{
    /// <summary>Id of the event; the same in every replay.</summary>
    public required string Id { get; init; }

    /// <summary>Pseudonym.</summary>
    public required string Athlete { get; init; }

    /// <summary>The training it belongs to; null when none was open. When written: null, it is looked up by time.</summary>
    public string? Session { get; init; }

    /// <summary>The recording that holds its packets; null when there is none.</summary>
    public string? Recording { get; init; }

    /// <summary>Day of the landing in the hall's zone, <c>yyyy-MM-dd</c>.</summary>
    public required string Day { get; init; }

    /// <summary>Running number in the recording.</summary>
    public long Number { get; init; }

    /// <summary>Last contact, us since 1970.</summary>
    public long TakeoffUs { get; init; }

    /// <summary>First contact, us since 1970.</summary>
    public long LandingUs { get; init; }

    /// <summary>Form, as the record spells it; null when not known.</summary>
    public string? Form { get; init; }

    /// <summary><c>left</c>, <c>right</c>, <c>both</c> or null.</summary>
    public string? TakeoffFoot { get; init; }

    /// <summary><c>left</c>, <c>right</c>, <c>both</c> or null.</summary>
    public string? LandingFoot { get; init; }

    /// <summary>Flight time, s.</summary>
    public double FlightTimeS { get; init; }

    /// <summary>Height, m.</summary>
    public double HeightM { get; init; }

    /// <summary>Turn in the air, deg; null when not measured.</summary>
    public double? TurnFlightDeg { get; init; }

    /// <summary>Split angle, deg; null when not measured.</summary>
    public double? SplitAngleDeg { get; init; }

    /// <summary>Landing shock at the trunk, g; null when not measured.</summary>
    public double? ShockTrunkG { get; init; }

    /// <summary>Landing shock at the left ankle, g; null when not measured.</summary>
    public double? ShockAnkleLeftG { get; init; }

    /// <summary>Landing shock at the right ankle, g; null when not measured.</summary>
    public double? ShockAnkleRightG { get; init; }

    /// <summary>Contact before this leap of a series, s; null outside a series.</summary>
    public double? ContactTimeS { get; init; }

    /// <summary>Whether a sensor was at its rail: shocks are then at least what they say.</summary>
    public bool Saturated { get; init; }

    /// <summary><c>A</c>, <c>B</c> or <c>C</c>.</summary>
    public required string Grade { get; init; }

    /// <summary>Class of the landing among the athlete's own, a word of the caller; null when it was not classified.</summary>
    public string? LandingClass { get; init; }

    /// <summary>Apparatus of the training it belongs to, as it is entered now; null for none. Read only: it is the training's. Null in answers without records.</summary>
    public string? Apparatus { get; init; }

    /// <summary>The whole record, JSON. Null in answers that were asked for without it (<see cref="Queries.JumpRecords"/>).</summary>
    public string? Record { get; init; }
}
