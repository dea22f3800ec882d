using System.Buffers;
using Saltograph.Imu;

namespace Saltograph.Wire.Events;

/// <summary>Turns attribute names and texts into checked attributes; both content modes share it.</summary>
internal static class CloudEventContext
{
    private static readonly SearchValues<char> NameCharacters = SearchValues.Create("abcdefghijklmnopqrstuvwxyz0123456789");
    private static readonly string[] Required = ["specversion", "id", "source", "type"];
    private static readonly string[] Standard = [.. Required, "subject", "time", "datacontenttype", "dataschema"];

    public static bool IsName(string name) => name.Length > 0 && name.AsSpan().IndexOfAnyExcept(NameCharacters) < 0;

    public static bool IsStandard(string name) => Array.IndexOf(Standard, name) >= 0;

    public static CloudEventVerdict Check(Dictionary<string, string> texts, out CloudEventAttributes? attributes)
    {
        attributes = null;
        foreach (var name in Required)
        {
            if (!texts.TryGetValue(name, out var value) || value.Length == 0)
            {
                return new(CloudEventFault.MissingAttribute, name, value);
            }
        }

        if (texts["specversion"] != CloudEventAttributes.SpecVersion)
        {
            return new(CloudEventFault.UnknownSpecVersion, "specversion", texts["specversion"]);
        }

        SampleTime? time = null;
        if (texts.TryGetValue("time", out var timeText))
        {
            if (!Rfc3339.TryParse(timeText, out var parsed))
            {
                return new(CloudEventFault.BadTime, "time", timeText);
            }

            time = parsed;
        }

        attributes = new()
        {
            Id = texts["id"],
            Source = texts["source"],
            Type = texts["type"],
            Subject = texts.GetValueOrDefault("subject"),
            Time = time,
            DataContentType = texts.GetValueOrDefault("datacontenttype"),
            DataSchema = texts.GetValueOrDefault("dataschema"),
            Extensions = Extensions(texts),
        };
        return default;
    }

    private static IReadOnlyDictionary<string, string> Extensions(Dictionary<string, string> texts)
    {
        Dictionary<string, string>? extensions = null;
        foreach (var (name, value) in texts)
        {
            if (!IsStandard(name))
            {
                (extensions ??= new(StringComparer.Ordinal)).Add(name, value);
            }
        }

        return extensions ?? CloudEventAttributes.EmptyExtensions;
    }
}
