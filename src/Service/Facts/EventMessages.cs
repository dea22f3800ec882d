using System.Buffers;
using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Ingest;
using Saltograph.Service.Results;
using Saltograph.Service.Warnings;
using Saltograph.Wire;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Facts;

/// <summary>Facts as messages on the athletes' topics, faults of sensors on those of the sensors; all but the live summary as CloudEvents.</summary>
internal sealed class EventMessages(HallId hall)
{
    private readonly string _source = CloudEventAttributes.SourceOf(hall);

    /// <summary>The message that tells a fact; null for a fact that is not published.</summary>
    public OutgoingMessage? Of(Fact fact) => fact switch
    {
        LandingMeasured landing => Event(
            landing, AthleteTopic.Landings, landing.EventId, EventTypes.Landing, landing.Landing.LandingTime, json => WriteLanding(json, landing)),
        JumpMeasured jump => Event(
            jump,
            AthleteTopic.Jumps,
            jump.EventId,
            EventTypes.Jump,
            jump.Jump.LandingTime,
            json => JumpJson.Write(json, jump.Athlete, jump.Jump, onHallClock: true),
            jump.LandingClass),
        LoadChanged load => Event(
            load, AthleteTopic.Load, load.EventId, EventTypes.Load, load.Time, json => WriteTotals(json, load.Athlete, load.Totals)),
        WarningChanged { Change.Channel: Load.WarningChannel.Sensor } fault => Event(
            fault,
            Topics.Of(hall, new SensorId(fault.Change.Subject), SensorTopic.Faults),
            fault.EventId,
            EventTypes.Sensor,
            fault.Change.Time,
            json => WarningJson.Write(json, fault.Change)),
        WarningChanged warning => Event(
            warning, AthleteTopic.Warnings, warning.EventId, EventTypes.Warning, warning.Change.Time, json => WarningJson.Write(json, warning.Change)),
        LiveSummary live => Message(
            Topics.Of(hall, live.Athlete, AthleteTopic.Live), CloudEventAttributes.JsonContentType, Topics.QualityOfService(AthleteTopic.Live), Topics.IsRetained(AthleteTopic.Live),
            json => WriteLive(json, live)),
        _ => null,
    };

    private static void WriteLanding(Utf8JsonWriter json, LandingMeasured landing)
    {
        json.WriteStartObject();
        json.WriteString("athlete", landing.Athlete.Value);
        json.WriteString("landing", Rfc3339.Text(landing.Landing.LandingTime));
        json.WriteNumber("landingS", landing.Landing.LandingTime.Microseconds / 1_000_000m);
        JumpJson.Number(json, "flightTimeS", landing.Landing.FlightTimeS);
        json.WriteString("landingFoot", JumpJson.Word(landing.Landing.LandingFoot));
        json.WriteEndObject();
    }

    private static void WriteLive(Utf8JsonWriter json, LiveSummary live)
    {
        json.WriteStartObject();
        json.WriteString("athlete", live.Athlete.Value);
        json.WriteString("time", Rfc3339.Text(live.Time));
        json.WriteStartArray("sensors");
        foreach (var site in live.Sensors)
        {
            json.WriteStringValue(site.Name());
        }

        json.WriteEndArray();
        json.WriteNumber("jumpsToday", live.Totals?.Jumps ?? 0);
        json.WritePropertyName("lastJump");
        WriteLastJump(json, live.LastJump);
        json.WriteEndObject();
    }

    private static void WriteLastJump(Utf8JsonWriter json, JumpRecord? jump)
    {
        if (jump is null)
        {
            json.WriteNullValue();
            return;
        }

        json.WriteStartObject();
        json.WriteNumber("number", jump.Number);
        json.WriteString("landing", Rfc3339.Text(jump.LandingTime));
        JumpJson.Number(json, "flightTimeS", jump.FlightTimeS);
        JumpJson.Number(json, "heightM", jump.HeightM);
        JumpJson.Number(json, "turnFlightDeg", jump.TurnFlightDeg);
        JumpJson.Number(json, "splitAngleDeg", jump.SplitAngleDeg);
        json.WriteEndObject();
    }

    private static void WriteTotals(Utf8JsonWriter json, AthleteId athlete, DayTotals totals)
    {
        json.WriteStartObject();
        json.WriteString("athlete", athlete.Value);
        json.WriteString("day", totals.Day.ToString("O", System.Globalization.CultureInfo.InvariantCulture));
        json.WriteNumber("jumps", totals.Jumps);
        WriteFeet(json, "takeoffs", totals.Takeoffs);
        WriteFeet(json, "landings", totals.Landings);
        JumpJson.Number(json, "heightSumM", totals.HeightSumM);
        JumpJson.Number(json, "flightTimeSumS", totals.FlightTimeSumS);
        json.WriteEndObject();
    }

    private static void WriteFeet(Utf8JsonWriter json, string key, FootCounts counts)
    {
        json.WriteStartObject(key);
        json.WriteNumber("left", counts.Left);
        json.WriteNumber("right", counts.Right);
        json.WriteNumber("both", counts.Both);
        json.WriteNumber("unknown", counts.Unknown);
        json.WriteEndObject();
    }

    private OutgoingMessage Event(Fact fact, AthleteTopic topic, string id, string type, SampleTime time, Action<Utf8JsonWriter> writeData, string? landingClass = null) =>
        Event(fact, Topics.Of(hall, fact.Athlete, topic), id, type, time, writeData, landingClass, Topics.QualityOfService(topic), Topics.IsRetained(topic));

    private OutgoingMessage Event(
        Fact fact, string topic, string id, string type, SampleTime time, Action<Utf8JsonWriter> writeData, string? landingClass = null, int qualityOfService = 1, bool isRetained = false)
    {
        var attributes = new CloudEventAttributes { Id = id, Source = _source, Type = type, Subject = fact.Athlete.Value, Time = time };
        if (landingClass is not null)
        {
            // Beside the record, so that the record stays as the contract has it.
            attributes = attributes with { Extensions = new Dictionary<string, string>(StringComparer.Ordinal) { ["landingclass"] = landingClass } };
        }

        return Message(topic, CloudEventAttributes.StructuredContentType, qualityOfService, isRetained, json =>
        {
            CloudEventWriter.Start(json, attributes);
            writeData(json);
            CloudEventWriter.End(json);
        });
    }

    private static OutgoingMessage Message(string topic, string contentType, int qualityOfService, bool isRetained, Action<Utf8JsonWriter> write)
    {
        var bytes = new ArrayBufferWriter<byte>();
        using (var json = new Utf8JsonWriter(bytes))
        {
            write(json);
        }

        return new(topic, bytes.WrittenSpan.ToArray(), contentType, qualityOfService, isRetained);
    }
}
