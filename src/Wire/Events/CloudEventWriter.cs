using System.Text.Json;

namespace Saltograph.Wire.Events;

/// <summary>
/// Writes CloudEvents 1.0 as structured JSON. <see cref="Start"/>, then exactly one JSON value by the caller, then
/// <see cref="End"/>: the data goes straight into the same writer.
/// </summary>
public static class CloudEventWriter
{
    /// <summary>Writes the attributes and the name of the data member; the next value written is the data.</summary>
    public static void Start(Utf8JsonWriter json, CloudEventAttributes attributes)
    {
        WriteAttributes(json, attributes);
        json.WritePropertyName("data");
    }

    /// <summary>Ends the event after the data.</summary>
    public static void End(Utf8JsonWriter json)
    {
        ArgumentNullException.ThrowIfNull(json);
        json.WriteEndObject();
    }

    /// <summary>Writes a whole event, whatever its data is.</summary>
    public static void Write(Utf8JsonWriter json, CloudEvent cloudEvent)
    {
        ArgumentNullException.ThrowIfNull(cloudEvent);
        WriteAttributes(json, cloudEvent.Attributes);
        if (cloudEvent.Binary is { } binary)
        {
            json.WriteBase64String("data_base64", binary.Span);
        }
        else if (cloudEvent.Data is { } data)
        {
            json.WritePropertyName("data");
            data.WriteTo(json);
        }

        json.WriteEndObject();
    }

    private static void WriteAttributes(Utf8JsonWriter json, CloudEventAttributes attributes)
    {
        ArgumentNullException.ThrowIfNull(json);
        ArgumentNullException.ThrowIfNull(attributes);
        json.WriteStartObject();
        json.WriteString("specversion", CloudEventAttributes.SpecVersion);
        json.WriteString("id", Require(attributes.Id, "id"));
        json.WriteString("source", Require(attributes.Source, "source"));
        json.WriteString("type", Require(attributes.Type, "type"));
        Optional(json, "subject", attributes.Subject);
        Optional(json, "time", attributes.Time is { } time ? Rfc3339.Text(time) : null);
        Optional(json, "datacontenttype", attributes.DataContentType);
        Optional(json, "dataschema", attributes.DataSchema);
        foreach (var (name, value) in attributes.Extensions)
        {
            json.WriteString(name, value);
        }
    }

    private static string Require(string value, string name) => value.Length > 0
        ? value
        : throw new ArgumentException($"CloudEvents attribute '{name}' is empty; allowed: at least one character.", nameof(value));

    private static void Optional(Utf8JsonWriter json, string name, string? value)
    {
        if (value is not null)
        {
            json.WriteString(name, value);
        }
    }
}
