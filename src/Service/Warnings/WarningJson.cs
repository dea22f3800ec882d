using System.Buffers;
using System.Text;
using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Wire;

namespace Saltograph.Service.Warnings;

/// <summary>A change of a warning as a JSON object: every key always there. The same object is told, and kept in the store.</summary>
internal static class WarningJson
{
    /// <summary>A word of the warnings as events and the store spell it: <c>active-unacknowledged</c>.</summary>
    public static string Word<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.KebabCaseLower.ConvertName(value.ToString());

    /// <summary>Writes a change.</summary>
    public static void Write(Utf8JsonWriter json, WarningChange change)
    {
        json.WriteStartObject();
        json.WriteString("athlete", change.Athlete.Value);
        json.WriteString("warning", change.WarningId);
        json.WriteNumber("number", change.Number);
        json.WriteString("rule", change.Rule);
        json.WriteString("subject", change.Subject);
        json.WriteString("channel", Word(change.Channel));
        json.WriteString("priority", Word(change.Priority));
        json.WriteString("state", Word(change.To));
        json.WriteString("stateBefore", Word(change.From));
        json.WriteString("cause", Word(change.Cause));
        json.WriteString("time", Rfc3339.Text(change.Time));
        json.WriteString("raised", Rfc3339.Text(change.RaisedTime));
        json.WriteString("who", change.Who);
        json.WriteString("why", change.Why);
        json.WriteString("shelvedUntil", change.ShelvedUntil is { } until ? Rfc3339.Text(until) : null);
        json.WriteBoolean("announce", change.Announce);
        json.WriteString("floodGroup", change.FloodGroup);
        json.WriteString("text", change.Detail.Text);
        Number(json, "found", change.Detail.Found);
        Number(json, "limit", change.Detail.Limit);
        json.WriteStartArray("jumps");
        foreach (var jump in change.Detail.Jumps)
        {
            json.WriteStringValue(jump);
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    /// <summary>The object as text.</summary>
    public static string Text(WarningChange change)
    {
        var bytes = new ArrayBufferWriter<byte>();
        using (var json = new Utf8JsonWriter(bytes))
        {
            Write(json, change);
        }

        return Encoding.UTF8.GetString(bytes.WrittenSpan);
    }

    private static void Number(Utf8JsonWriter json, string key, double? value)
    {
        if (value is { } number && double.IsFinite(number))
        {
            json.WriteNumber(key, Math.Round(number, 6));
        }
        else
        {
            json.WriteNull(key);
        }
    }
}
