namespace Saltograph.Load;

/// <summary>State of a warning, in the words of alarm management (ANSI/ISA-18.2, IEC 62682; from memory).</summary>
public enum WarningState
{
    /// <summary>The condition does not hold, and nothing waits to be acknowledged.</summary>
    Normal,

    /// <summary>The condition holds and nobody has acknowledged it.</summary>
    ActiveUnacknowledged,

    /// <summary>The condition holds and is acknowledged.</summary>
    Acknowledged,

    /// <summary>The condition no longer holds, and nobody has acknowledged that it did.</summary>
    ReturnedUnacknowledged,

    /// <summary>Silenced by staff until an end time.</summary>
    Shelved,

    /// <summary>Silenced by staff until put back.</summary>
    OutOfService,
}

/// <summary>Whom a warning concerns; channels are never mixed.</summary>
public enum WarningChannel
{
    /// <summary>Alarms: hard landings and rising shock.</summary>
    Landing,

    /// <summary>Alarms: the day's plan or return-to-play limits are exceeded.</summary>
    Overload,

    /// <summary>Advice: fatigue and asymmetry. Not alarms.</summary>
    Advice,

    /// <summary>Technical faults of sensors.</summary>
    Sensor,
}

/// <summary>How soon staff should act. Common practice is some 80 per cent low, 15 medium, 5 high (from memory).</summary>
public enum WarningPriority
{
    /// <summary>When there is time.</summary>
    Low,

    /// <summary>In this training.</summary>
    Medium,

    /// <summary>Now.</summary>
    High,
}

/// <summary>What changed a warning.</summary>
public enum WarningCause
{
    /// <summary>The condition began.</summary>
    Raised,

    /// <summary>The condition ended.</summary>
    Cleared,

    /// <summary>Staff acknowledged.</summary>
    Acknowledged,

    /// <summary>It was still active after the re-alarm time.</summary>
    ReAlarmed,

    /// <summary>Staff shelved it.</summary>
    Shelved,

    /// <summary>The shelving ended, by its time or by staff.</summary>
    ShelfEnded,

    /// <summary>Staff took its rule out of service.</summary>
    TakenOutOfService,

    /// <summary>Staff put its rule back.</summary>
    PutBack,
}

/// <summary>Fault of a sensor that a report tells of.</summary>
public enum SensorFaultKind
{
    /// <summary>Time since the last packet, s; raised from a value upward.</summary>
    Silent,

    /// <summary>Battery, per cent; raised from a value downward.</summary>
    Battery,

    /// <summary>Landings with the sensor at its rail, per cent of the last 20 that it measured; raised upward.</summary>
    Clipped,

    /// <summary>Uncertainty of the sensor's clock, ms; raised upward.</summary>
    Clock,

    /// <summary>Lost samples, per cent; raised upward.</summary>
    Loss,
}

/// <summary>Which limits a rule watches.</summary>
public enum LimitSource
{
    /// <summary>The plan of the day.</summary>
    Plan,

    /// <summary>Limits set by licensed staff for a return to training.</summary>
    ReturnToPlay,
}
