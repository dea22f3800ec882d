namespace Saltograph.Service.Configuration;

/// <summary>How long each kind of data is kept, days; 0 keeps it for ever. Raw packets: <c>recordings.keepDays</c>.</summary>
internal sealed record RetentionOptions
{
    /// <summary>Jumps, their records and courses, landings, days, 0 or 28 to 36500; default 1095. Load of a day goes with its jumps.</summary>
    public int JumpsDays { get; init; } = 1095;

    /// <summary>What was told about sensors, days, 0 to 36500; default 90.</summary>
    public int SensorEventsDays { get; init; } = 90;

    /// <summary>Warnings that are over, with their history, days, 0 or 28 to 36500; default 1095.</summary>
    public int WarningsDays { get; init; } = 1095;

    /// <summary>Trainings with notes and exertion, and plans, days, 0 or 28 to 36500; default 1095.</summary>
    public int TrainingsDays { get; init; } = 1095;

    /// <summary>Who looked and who changed, days, 0 or 28 to 36500; default 1095.</summary>
    public int AuditDays { get; init; } = 1095;
}
