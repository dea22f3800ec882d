using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>What led to a warning.</summary>
/// <param name="Text">One plain sentence for staff.</param>
/// <param name="Found">The value, in the unit that the sentence names; null when there is none.</param>
/// <param name="Limit">The limit likewise.</param>
/// <param name="Jumps">Event ids of the jumps that led to it, oldest first, ten at most.</param>
public sealed record WarningDetail(string Text, double? Found, double? Limit, IReadOnlyList<string> Jumps);

/// <summary>A warning changed its state, or was announced again.</summary>
public sealed record WarningChange
{
    /// <summary>Id of the warning, repeatable: rule, athlete, subject, start in microseconds.</summary>
    public required string WarningId { get; init; }

    /// <summary>Running number of the change in its warning, from 1.</summary>
    public required int Number { get; init; }

    /// <summary>The rule.</summary>
    public required string Rule { get; init; }

    /// <summary>Whom it concerns, by pseudonym.</summary>
    public required AthleteId Athlete { get; init; }

    /// <summary>Leg, quantity, element or sensor, as the rule tells apart.</summary>
    public required string Subject { get; init; }

    /// <summary>Channel.</summary>
    public required WarningChannel Channel { get; init; }

    /// <summary>Priority.</summary>
    public required WarningPriority Priority { get; init; }

    /// <summary>State before.</summary>
    public required WarningState From { get; init; }

    /// <summary>State after.</summary>
    public required WarningState To { get; init; }

    /// <summary>Why it changed.</summary>
    public required WarningCause Cause { get; init; }

    /// <summary>When.</summary>
    public required SampleTime Time { get; init; }

    /// <summary>When the warning was raised.</summary>
    public required SampleTime RaisedTime { get; init; }

    /// <summary>Staff pseudonym; null when the rule did it.</summary>
    public string? Who { get; init; }

    /// <summary>The reason that staff gave.</summary>
    public string? Why { get; init; }

    /// <summary>End of a shelving.</summary>
    public SampleTime? ShelvedUntil { get; init; }

    /// <summary>Whether staff are to be told now.</summary>
    public bool Announce { get; init; }

    /// <summary>Set while more warnings come than staff can take in: send one summary per group instead of each.</summary>
    public string? FloodGroup { get; init; }

    /// <summary>What led to it.</summary>
    public required WarningDetail Detail { get; init; }
}

/// <summary>What a jump led to.</summary>
/// <param name="Landing">Its class; null for an event id that was counted before.</param>
/// <param name="Changes">Changes up to and by this jump, oldest first.</param>
public sealed record CountResult(LandingVerdict? Landing, IReadOnlyList<WarningChange> Changes);

/// <summary>What a command of staff led to: a fault, and then nothing was done, or changes.</summary>
/// <param name="Fault">Why it was refused; null when done.</param>
/// <param name="Changes">Changes up to and by the command, oldest first.</param>
public sealed record CommandResult(Fault? Fault, IReadOnlyList<WarningChange> Changes);

/// <summary>A figure of a sensor's health.</summary>
/// <param name="Athlete">Who wears it.</param>
/// <param name="Sensor">The sensor.</param>
/// <param name="Kind">Which figure; its unit stands there.</param>
/// <param name="Value">The figure, finite.</param>
/// <param name="Time">When.</param>
public sealed record SensorReport(AthleteId Athlete, SensorId Sensor, SensorFaultKind Kind, double Value, SampleTime Time);

/// <summary>Limits of one athlete for a stretch of time, a day as a rule. What is null is not limited.</summary>
/// <param name="Athlete">Who.</param>
/// <param name="Source">Plan or return to play.</param>
/// <param name="From">Start, inside.</param>
/// <param name="To">End, outside.</param>
public sealed record DayLimits(AthleteId Athlete, LimitSource Source, SampleTime From, SampleTime To)
{
    /// <summary>Most jumps, 0 to 10000.</summary>
    public int? Jumps { get; init; }

    /// <summary>Most landings with the left leg, 0 to 10000; a landing on both counts for both.</summary>
    public int? LeftLandings { get; init; }

    /// <summary>Most landings with the right leg, 0 to 10000.</summary>
    public int? RightLandings { get; init; }

    /// <summary>Greatest height of a jump, m, 0 to 2.</summary>
    public double? HeightM { get; init; }

    /// <summary>Greatest shock at the landing ankle, g, 1 to 400. A saturated one counts as above.</summary>
    public double? ShockG { get; init; }

    /// <summary>All that is not allowed; empty when nothing.</summary>
    public IReadOnlyList<Fault> Faults()
    {
        var list = new FaultList("");
        list.Number(Jumps, 0, 10_000, nameof(Jumps));
        list.Number(LeftLandings, 0, 10_000, nameof(LeftLandings));
        list.Number(RightLandings, 0, 10_000, nameof(RightLandings));
        list.Number(HeightM, 0, 2, nameof(HeightM));
        list.Number(ShockG, 1, 400, nameof(ShockG));
        if (To <= From)
        {
            list.Add(nameof(To), $"{To.Microseconds} us", $"after From, {From.Microseconds} us");
        }

        return list.Faults;
    }
}
