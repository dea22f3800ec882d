using System.Buffers;
using System.Text.Json;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Api;

/// <summary>A stored jump as one flat JSON object: where it belongs, then every key of its record.</summary>
internal static class JumpText
{
    /// <summary>Writes it.</summary>
    public static void Write(Utf8JsonWriter json, JumpRow row)
    {
        json.WriteStartObject();
        json.WriteString("id", row.Id);
        json.WriteString("session", row.Session);
        json.WriteString("day", row.Day);
        json.WriteString("apparatus", row.Apparatus);
        json.WriteString("landingClass", row.LandingClass);
        using (var record = JsonDocument.Parse(row.Record!))
        {
            foreach (var member in record.RootElement.EnumerateObject())
            {
                member.WriteTo(json);
            }
        }

        json.WriteEndObject();
    }

    /// <summary>The same as an element.</summary>
    public static JsonElement Element(JumpRow row)
    {
        var bytes = new ArrayBufferWriter<byte>();
        using (var json = new Utf8JsonWriter(bytes))
        {
            Write(json, row);
        }

        return JsonElement.Parse(bytes.WrittenSpan);
    }
}
