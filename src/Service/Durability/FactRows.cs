using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Results;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Durability;

/// <summary>Facts as rows of the store.</summary>
internal static class FactRows
{
    private const int Digits = 6; // as in the records, so that sums over rows are sums over records

    /// <summary>The whole record of a jump, JSON.</summary>
    public static string Record(JumpMeasured measured)
    {
        var bytes = new ArrayBufferWriter<byte>();
        using (var json = new Utf8JsonWriter(bytes))
        {
            JumpJson.Write(json, measured.Athlete, measured.Jump, onHallClock: true);
        }

        return Encoding.UTF8.GetString(bytes.WrittenSpan);
    }

    /// <summary>A jump.</summary>
    public static JumpRow Of(JumpMeasured measured, HallDays days)
    {
        var jump = measured.Jump;
        return new()
        {
            Id = measured.EventId,
            Athlete = measured.Athlete.Value,
            Recording = measured.Recording,
            Day = days.Of(jump.LandingTime),
            Number = jump.Number,
            TakeoffUs = jump.TakeoffTime.Microseconds,
            LandingUs = jump.LandingTime.Microseconds,
            Form = JumpJson.Word(jump.Form),
            TakeoffFoot = JumpJson.Word(jump.TakeoffFoot),
            LandingFoot = JumpJson.Word(jump.LandingFoot),
            FlightTimeS = Math.Round(jump.FlightTimeS, Digits),
            HeightM = Math.Round(jump.HeightM, Digits),
            TurnFlightDeg = Rounded(jump.TurnFlightDeg),
            SplitAngleDeg = Rounded(jump.SplitAngleDeg),
            ShockTrunkG = Rounded(jump.LandingShockG.TrunkG),
            ShockAnkleLeftG = Rounded(jump.LandingShockG.AnkleLeftG),
            ShockAnkleRightG = Rounded(jump.LandingShockG.AnkleRightG),
            ContactTimeS = Rounded(jump.Series?.ContactTimeS),
            Saturated = jump.Quality.Contains(QualityWords.Saturated, StringComparer.Ordinal),
            Grade = jump.Grade.ToString(),
            LandingClass = measured.LandingClass,
            Apparatus = measured.Apparatus,
            Record = Record(measured),
        };
    }

    /// <summary>A landing.</summary>
    public static LandingRow Of(LandingMeasured landing) => new()
    {
        Id = landing.EventId,
        Athlete = landing.Athlete.Value,
        LandingUs = landing.Landing.LandingTime.Microseconds,
        FlightTimeS = Math.Round(landing.Landing.FlightTimeS, Digits),
        LandingFoot = JumpJson.Word(landing.Landing.LandingFoot),
    };

    /// <summary>Something about a sensor. Its id comes from what it says, and that is the same in every replay.</summary>
    public static SensorEventRow Of(SensorReported reported)
    {
        var sensor = reported.Sensor;
        return new()
        {
            Id = string.Create(
                CultureInfo.InvariantCulture,
                $"{reported.Athlete}.{sensor.Sensor}.{sensor.Boot}.{sensor.Kind}.{sensor.HallTime.Microseconds}.{sensor.Count}"),
            Athlete = reported.Athlete.Value,
            Sensor = sensor.Sensor.Value,
            Site = sensor.Site.Name(),
            Kind = sensor.Kind.ToString(),
            AtUs = sensor.HallTime.Microseconds,
            Amount = sensor.Count,
            DurationS = Rounded(sensor.DurationS),
        };
    }

    /// <summary>An event for the outbox.</summary>
    public static OutboxRow Of(OutgoingMessage message, string eventId, SampleTime now) => new()
    {
        Id = eventId,
        Topic = message.Topic,
        ContentType = message.ContentType,
        Retain = message.Retain,
        Payload = Encoding.UTF8.GetString(message.Payload),
        CreatedUs = now.Microseconds,
    };

    private static double? Rounded(double? value) => value is { } number && double.IsFinite(number) ? Math.Round(number, Digits) : null;
}
