using System.Text.Json;
using Saltograph.Imu;

namespace Saltograph.Wire;

/// <summary>
/// The retained state of a sensor, JSON. The broker publishes <c>{"online": false}</c> as the sensor's will, so everything
/// but <see cref="Online"/> may be absent.
/// </summary>
public sealed record SensorState
{
    private const int MostBytes = 4096;
    private const int LongestFirmware = 64;

    /// <summary>Whether the sensor is connected.</summary>
    public required bool Online { get; init; }

    /// <summary>Its present power-up; null when not said.</summary>
    public BootId? Boot { get; init; }

    /// <summary>Its firmware version, up to 64 characters; null when not said.</summary>
    public string? Firmware { get; init; }

    /// <summary>Battery, per cent, 0 to 100; null when not said.</summary>
    public double? BatteryPercent { get; init; }

    /// <summary>Writes it: all four keys, null where not known.</summary>
    public void Write(Utf8JsonWriter json)
    {
        ArgumentNullException.ThrowIfNull(json);
        json.WriteStartObject();
        json.WriteBoolean("online", Online);
        Number(json, "boot", Boot?.Value);
        json.WriteString("firmware", Firmware);
        Number(json, "batteryPercent", BatteryPercent);
        json.WriteEndObject();
    }

    /// <summary>Reads it. Unknown keys are ignored; null counts as absent.</summary>
    /// <param name="utf8Json">The payload.</param>
    /// <param name="state">The state; null when refused.</param>
    /// <returns>Null when accepted, else one sentence: key, found, allowed.</returns>
    public static string? TryRead(ReadOnlyMemory<byte> utf8Json, out SensorState? state)
    {
        state = null;
        if (utf8Json.Length > MostBytes)
        {
            return FormattableString.Invariant($"state: found {utf8Json.Length} bytes; allowed: up to {MostBytes}.");
        }

        try
        {
            using var document = JsonDocument.Parse(utf8Json);
            return Read(document.RootElement, out state);
        }
        catch (JsonException exception)
        {
            return $"state: found {exception.Message}; allowed: a JSON object.";
        }
        catch (InvalidOperationException exception)
        {
            // Text that escapes half a surrogate pair passes the parser and fails when it is taken out.
            return $"state: found {exception.Message}; allowed: a JSON object.";
        }
    }

    private static string? Read(JsonElement root, out SensorState? state)
    {
        state = null;
        if (root.ValueKind != JsonValueKind.Object)
        {
            return $"state: found {root.ValueKind}; allowed: a JSON object.";
        }

        if (!root.TryGetProperty("online", out var online) || online.ValueKind is not (JsonValueKind.True or JsonValueKind.False))
        {
            return "online: absent or not boolean; allowed: true or false.";
        }

        uint boot = 0;
        if (Has(root, "boot", out var bootElement) && !(bootElement.ValueKind == JsonValueKind.Number && bootElement.TryGetUInt32(out boot)))
        {
            return $"boot: found {bootElement.GetRawText()}; allowed: 0 to 4294967295.";
        }

        if (Has(root, "firmware", out var firmware) && !(firmware.ValueKind == JsonValueKind.String && firmware.GetString()!.Length <= LongestFirmware))
        {
            return $"firmware: another type or too long; allowed: text of up to {LongestFirmware} characters.";
        }

        double battery = 0;
        if (Has(root, "batteryPercent", out var batteryElement)
            && !(batteryElement.ValueKind == JsonValueKind.Number && batteryElement.TryGetDouble(out battery) && battery is >= 0 and <= 100))
        {
            return $"batteryPercent: found {batteryElement.GetRawText()}; allowed: 0 to 100.";
        }

        state = new()
        {
            Online = online.GetBoolean(),
            Boot = bootElement.ValueKind == JsonValueKind.Number ? new BootId(boot) : null,
            Firmware = firmware.ValueKind == JsonValueKind.String ? firmware.GetString() : null,
            BatteryPercent = batteryElement.ValueKind == JsonValueKind.Number ? battery : null,
        };
        return null;
    }

    private static bool Has(JsonElement root, string key, out JsonElement value) =>
        root.TryGetProperty(key, out value) && value.ValueKind != JsonValueKind.Null;

    private static void Number(Utf8JsonWriter json, string key, double? value)
    {
        if (value is { } number)
        {
            json.WriteNumber(key, number);
        }
        else
        {
            json.WriteNull(key);
        }
    }
}
