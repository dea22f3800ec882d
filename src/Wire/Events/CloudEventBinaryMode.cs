using System.Text;
using System.Text.Json;

namespace Saltograph.Wire.Events;

/// <summary>
/// CloudEvents 1.0 in the binary mode of the MQTT binding (section 3.1): the payload is the data, the content type is
/// <c>datacontenttype</c>, every other attribute is an MQTT 5 user property of the same name.
/// </summary>
public static class CloudEventBinaryMode
{
    /// <summary>The user properties of an event, in a fixed order.</summary>
    public static IReadOnlyList<KeyValuePair<string, string>> UserProperties(CloudEventAttributes attributes)
    {
        ArgumentNullException.ThrowIfNull(attributes);
        var properties = new List<KeyValuePair<string, string>>
        {
            new("specversion", CloudEventAttributes.SpecVersion),
            new("id", attributes.Id),
            new("source", attributes.Source),
            new("type", attributes.Type),
        };
        Add(properties, "subject", attributes.Subject);
        Add(properties, "time", attributes.Time is { } time ? Rfc3339.Text(time) : null);
        Add(properties, "dataschema", attributes.DataSchema);
        properties.AddRange(attributes.Extensions);
        return properties;
    }

    /// <summary>Whether the content type says structured mode (binding, section 3: it starts with application/cloudevents).</summary>
    public static bool IsStructured(string? contentType) =>
        contentType is not null && contentType.StartsWith("application/cloudevents", StringComparison.OrdinalIgnoreCase);

    /// <summary>
    /// Reads an event in binary mode. A user property <c>datacontenttype</c>, which the binding's own example shows although
    /// its text forbids it, is ignored: the content type of the message counts. User properties that cannot be attributes
    /// are ignored as well, because other layers put theirs there.
    /// </summary>
    public static CloudEventVerdict TryRead(
        string? contentType,
        IEnumerable<KeyValuePair<string, string>> userProperties,
        ReadOnlyMemory<byte> payload,
        out CloudEvent? cloudEvent)
    {
        ArgumentNullException.ThrowIfNull(userProperties);
        cloudEvent = null;
        if (payload.Length > CloudEventReader.MostBytes)
        {
            return new(CloudEventFault.TooLarge, Found: FormattableString.Invariant($"{payload.Length} bytes"));
        }

        var texts = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var (name, value) in userProperties)
        {
            if (CloudEventContext.IsName(name) && name != "datacontenttype" && !texts.TryAdd(name, value))
            {
                return new(CloudEventFault.WrongType, name, "twice");
            }
        }

        if (contentType is not null)
        {
            texts["datacontenttype"] = contentType;
        }

        if (CloudEventContext.Check(texts, out var attributes) is { IsAccepted: false } refused)
        {
            return refused;
        }

        if (!IsJson(contentType) || payload.IsEmpty)
        {
            cloudEvent = new(attributes!, null, payload.IsEmpty ? null : payload);
            return default;
        }

        try
        {
            using var document = JsonDocument.Parse(payload);
            cloudEvent = new(attributes!, document.RootElement.Clone(), null);
            return default;
        }
        catch (JsonException exception)
        {
            return new(CloudEventFault.NotJson, "data", exception.Message);
        }
    }

    private static bool IsJson(string? contentType)
    {
        var media = (contentType ?? CloudEventAttributes.JsonContentType).Split(';')[0].Trim();
        return media.EndsWith("/json", StringComparison.OrdinalIgnoreCase) || media.EndsWith("+json", StringComparison.OrdinalIgnoreCase);
    }

    private static void Add(List<KeyValuePair<string, string>> properties, string name, string? value)
    {
        if (value is not null)
        {
            properties.Add(new(name, value));
        }
    }
}
