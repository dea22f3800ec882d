using Saltograph.Imu;

namespace Saltograph.Pipeline;

/// <summary>What can become known about a sensor. The names are used as they are in events and logs.</summary>
public enum SensorFactKind
{
    /// <summary>Samples are missing: packets were given up (count), or the sensor itself left some out (count 0).</summary>
    Gap,

    /// <summary>Another power-up: sequence, clock and orientation start anew.</summary>
    Reboot,

    /// <summary>The device clock was set without a new power-up; the relation to the hall clock starts anew.</summary>
    ClockRestart,

    /// <summary>The relation to the hall clock had been wrong by more than 50 ms and was set right at once.</summary>
    ClockStep,

    /// <summary>The clock is now known to about a millisecond; before, times are marked <c>clock-unsynchronised</c>.</summary>
    ClockSynchronised,

    /// <summary>
    /// The offset that the firmware states cannot be true (three packets in a row); the clock is found from arrivals
    /// instead. Duration: how far it puts samples after their arrival, or (negative) before the time found from arrivals.
    /// </summary>
    OffsetRefused,

    /// <summary>The sample rate is another one (count: the new rate, rounded to whole hertz).</summary>
    RateChange,

    /// <summary>Nothing came for longer than the others may wait; they go on without this sensor.</summary>
    Silent,

    /// <summary>It is in step with the others again.</summary>
    Returned,

    /// <summary>Samples came after their turn and were dropped (count since the last report); told every second of data while it goes on, and at its end.</summary>
    Overtaken,

    /// <summary>Times of this sensor had to go back: orientation and detection of the athlete started anew.</summary>
    MotionRestart,

    /// <summary>Charge of its battery as its packets tell it (count: per cent): the first of a power-up, then each that is lower than all told before, or higher than the last told by 3 or more.</summary>
    Battery,
}

/// <summary>Something that became known about a sensor.</summary>
/// <param name="Kind">What.</param>
/// <param name="Sensor">Which sensor.</param>
/// <param name="Site">Where it sits.</param>
/// <param name="Boot">Its power-up; null before its first packet.</param>
/// <param name="HallTime">When, by the hall clock: the first sample afterwards.</param>
/// <param name="Count">Packets, samples, hertz or per cent, as the kind says; 0 otherwise.</param>
/// <param name="DurationS">Length of a gap, s; size of a step of the clock or error of a refused offset, s, positive ahead; null for other kinds.</param>
public readonly record struct SensorFact(
    SensorFactKind Kind,
    SensorId Sensor,
    Site Site,
    BootId? Boot,
    SampleTime HallTime,
    long Count = 0,
    double? DurationS = null);
