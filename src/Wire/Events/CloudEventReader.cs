using System.Text.Json;
using Saltograph.Imu;

namespace Saltograph.Wire.Events;

/// <summary>Reads CloudEvents 1.0 in structured JSON (JSON format, section 3). Bad input is a verdict, never an exception.</summary>
public static class CloudEventReader
{
    /// <summary>Largest event that is read, bytes: intermediaries have to carry 64 KiB (CloudEvents 1.0, size limits).</summary>
    public const int MostBytes = 64 * 1024;

    /// <summary>Reads one event.</summary>
    /// <param name="utf8Json">The whole payload.</param>
    /// <param name="cloudEvent">The event; null when refused.</param>
    public static CloudEventVerdict TryRead(ReadOnlyMemory<byte> utf8Json, out CloudEvent? cloudEvent)
    {
        cloudEvent = null;
        if (utf8Json.Length > MostBytes)
        {
            return new(CloudEventFault.TooLarge, Found: FormattableString.Invariant($"{utf8Json.Length} bytes"));
        }

        try
        {
            using var document = JsonDocument.Parse(utf8Json, new() { MaxDepth = 64 });
            return document.RootElement.ValueKind == JsonValueKind.Object
                ? ReadObject(document.RootElement, out cloudEvent)
                : new(CloudEventFault.NotAnObject, Found: document.RootElement.ValueKind.ToString());
        }
        catch (JsonException exception)
        {
            return new(CloudEventFault.NotJson, Found: exception.Message);
        }
        catch (InvalidOperationException exception)
        {
            // Text that escapes half a surrogate pair passes the parser and fails when it is taken out.
            return new(CloudEventFault.NotJson, Found: exception.Message);
        }
    }

    private static CloudEventVerdict ReadObject(JsonElement root, out CloudEvent? cloudEvent)
    {
        cloudEvent = null;
        var texts = new Dictionary<string, string>(StringComparer.Ordinal);
        JsonElement? data = null;
        ReadOnlyMemory<byte>? binary = null;
        foreach (var member in root.EnumerateObject())
        {
            if (member.Name == "data")
            {
                data = member.Value.Clone();
            }
            else if (member.Name == "data_base64")
            {
                if (member.Value.ValueKind != JsonValueKind.String || !member.Value.TryGetBytesFromBase64(out var bytes))
                {
                    return new(CloudEventFault.BadBase64, member.Name, member.Value.GetRawText());
                }

                binary = bytes;
            }
            else if (ReadAttribute(member, texts) is { IsAccepted: false } verdict)
            {
                return verdict;
            }
        }

        return data is not null && binary is not null
            ? new(CloudEventFault.TwoDataMembers, "data_base64", "both")
            : CloudEventContext.Check(texts, out var attributes) is { IsAccepted: false } refused
                ? refused
                : Accept(new(attributes!, data, binary), out cloudEvent);
    }

    private static CloudEventVerdict ReadAttribute(JsonProperty member, Dictionary<string, string> texts)
    {
        if (!CloudEventContext.IsName(member.Name))
        {
            return new(CloudEventFault.BadAttributeName, member.Name, member.Name);
        }

        string text;
        switch (member.Value.ValueKind)
        {
            case JsonValueKind.Null:
                return default; // an attribute that is null is absent
            case JsonValueKind.String:
                text = member.Value.GetString()!;
                break;
            case JsonValueKind.True or JsonValueKind.False:
            case JsonValueKind.Number when member.Value.TryGetInt32(out _):
                if (CloudEventContext.IsStandard(member.Name))
                {
                    return new(CloudEventFault.WrongType, member.Name, member.Value.GetRawText());
                }

                text = member.Value.GetRawText();
                break;
            default:
                return new(CloudEventFault.WrongType, member.Name, member.Value.GetRawText());
        }

        return texts.TryAdd(member.Name, text) ? default : new(CloudEventFault.WrongType, member.Name, "twice");
    }

    private static CloudEventVerdict Accept(CloudEvent read, out CloudEvent? cloudEvent)
    {
        cloudEvent = read;
        return default;
    }
}
