using System.Text.Json;

namespace Saltograph.Board.Records;

/// <summary>A jump record as it is published, for reading. What was not measured is null.</summary>
public sealed class JumpSheet
{
    private readonly JsonElement _record;

    /// <summary>Takes the record, JSON.</summary>
    public JumpSheet(string record)
    {
        using var document = JsonDocument.Parse(record);
        _record = document.RootElement.Clone();
        LandingUs = Time("landingS");
        TakeoffUs = Time("takeoffS");
        PeakUs = Time("peakS");
    }

    /// <summary>First contact, us since 1970.</summary>
    public long LandingUs { get; }

    /// <summary>Last contact, us since 1970.</summary>
    public long TakeoffUs { get; }

    /// <summary>Highest point, us since 1970.</summary>
    public long PeakUs { get; }

    /// <summary>Whose.</summary>
    public string Athlete => Word("athlete") ?? "";

    /// <summary>Words of quality.</summary>
    public IReadOnlyList<string> Quality => _record.TryGetProperty("quality", out var words) && words.ValueKind == JsonValueKind.Array
        ? [.. words.EnumerateArray().Select(word => word.GetString()!)]
        : [];

    /// <summary>A number by its key, <c>outer.inner</c> inside an object; null when it was not measured.</summary>
    public double? Number(string key) => Find(_record, key) is { ValueKind: JsonValueKind.Number } number ? number.GetDouble() : null;

    /// <summary>Standard uncertainty of a number, in its unit; null when it is not known.</summary>
    public double? Uncertainty(string key) => _record.TryGetProperty("uncertainty", out var all) && Find(all, key) is { ValueKind: JsonValueKind.Number } number ? number.GetDouble() : null;

    /// <summary>A word by its key; null when it is not known.</summary>
    public string? Word(string key) => Find(_record, key) is { ValueKind: JsonValueKind.String } word ? word.GetString() : null;

    private static JsonElement? Find(JsonElement from, string key)
    {
        foreach (var part in key.Split('.'))
        {
            if (from.ValueKind != JsonValueKind.Object || !from.TryGetProperty(part, out from))
            {
                return null;
            }
        }

        return from;
    }

    private long Time(string key) => Find(_record, key) is { ValueKind: JsonValueKind.Number } seconds ? (long)Math.Round(seconds.GetDecimal() * 1_000_000m) : 0;
}
