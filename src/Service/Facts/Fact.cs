using Saltograph.Board.Live;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Load;
using Saltograph.Pipeline;

namespace Saltograph.Service.Facts;

/// <summary>Something that was measured about an athlete.</summary>
/// <param name="Athlete">Pseudonym.</param>
internal abstract record Fact(AthleteId Athlete);

/// <summary>Of the moment: without an id, not stored, and not told again when a recording is measured again.</summary>
/// <param name="Athlete">Pseudonym.</param>
internal abstract record PassingFact(AthleteId Athlete) : Fact(Athlete);

/// <summary>First word of a landing.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="EventId">Id of the event, the same in every replay.</param>
/// <param name="Landing">What is known; times on the hall's clock.</param>
internal sealed record LandingMeasured(AthleteId Athlete, string EventId, LandingFact Landing) : Fact(Athlete);

/// <summary>A complete jump.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="EventId">Id of the event, the same in every replay.</param>
/// <param name="Jump">The record; times on the hall's clock.</param>
internal sealed record JumpMeasured(AthleteId Athlete, string EventId, JumpRecord Jump) : Fact(Athlete)
{
    /// <summary>Id of the recording that holds its packets; null when none does.</summary>
    public string? Recording { get; init; }

    /// <summary>Class of the landing among her own, in words of events; null until it is stored.</summary>
    public string? LandingClass { get; init; }

    /// <summary>Apparatus of the training that was open at the landing; null for none, and until it is stored.</summary>
    public string? Apparatus { get; init; }
}

/// <summary>A continuous measuring ended, and everything it made known came before this.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Recording">Id of the recording.</param>
/// <param name="LastPacket">Arrival of its last packet, hall clock.</param>
internal sealed record RecordingEnded(AthleteId Athlete, string Recording, SampleTime LastPacket) : Fact(Athlete);

/// <summary>The totals of the day changed.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="EventId">Id of the event: that of the jump that changed it, with its own ending.</param>
/// <param name="Time">When, hall clock.</param>
/// <param name="Totals">The totals including that jump.</param>
internal sealed record LoadChanged(AthleteId Athlete, string EventId, SampleTime Time, DayTotals Totals) : Fact(Athlete);

/// <summary>A warning changed its state.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Change">What changed.</param>
internal sealed record WarningChanged(AthleteId Athlete, WarningChange Change) : Fact(Athlete)
{
    /// <summary>Id of the event: that of the warning and the number of the change.</summary>
    public string EventId => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Change.WarningId}.{Change.Number}");
}

/// <summary>Ten times per second for screens; the next one replaces it.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Time">When, hall clock.</param>
/// <param name="Sensors">The sites whose sensors have sent something since the summary before.</param>
/// <param name="Totals">The totals of the day so far; null before the first jump.</param>
/// <param name="LastJump">The last jump of the session; null before the first.</param>
internal sealed record LiveSummary(
    AthleteId Athlete, SampleTime Time, IReadOnlyList<Site> Sensors, DayTotals? Totals, JumpRecord? LastJump) : PassingFact(Athlete)
{
    /// <summary>How the trunk moved since the summary before; for the service's own screens, not published.</summary>
    public IReadOnlyList<MotionBin> Motion { get; init; } = [];
}

/// <summary>Something about a sensor that staff should know.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Sensor">What and which.</param>
internal sealed record SensorReported(AthleteId Athlete, SensorFact Sensor) : Fact(Athlete);

/// <summary>A message on a samples topic that is no packet.</summary>
/// <param name="Athlete">Pseudonym of the one who wears the sensor.</param>
/// <param name="Sensor">Which sensor.</param>
/// <param name="Reason">Why it was not taken: a name of <see cref="Wire.Packets.PacketFault"/>, or <c>UnsupportedRate</c>.</param>
/// <param name="Message">What was found and what is allowed.</param>
internal sealed record PacketRejected(AthleteId Athlete, SensorId Sensor, string Reason, string Message) : PassingFact(Athlete);

/// <summary>What became of a session's packets and of the flights that were looked at, at its end.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Sensors">Counts of each sensor.</param>
/// <param name="RefusedFlights">How many falls of the velocity were no jumps, by reason; reasons that did not occur are left out.</param>
internal sealed record SessionCounted(
    AthleteId Athlete, IReadOnlyList<(SensorId Sensor, SensorCounts Counts)> Sensors, IReadOnlyDictionary<FlightRefusal, int> RefusedFlights)
    : PassingFact(Athlete);
