using System.Text.Json;
using Saltograph.Imu;

namespace Saltograph.Wire.Events;

/// <summary>Types of the events that the service publishes.</summary>
public static class EventTypes
{
    /// <summary>First contact after a flight, early.</summary>
    public const string Landing = "org.saltograph.landing.v1";

    /// <summary>A complete jump record.</summary>
    public const string Jump = "org.saltograph.jump.v1";

    /// <summary>Running totals of today.</summary>
    public const string Load = "org.saltograph.load.v1";

    /// <summary>A warning changed its state.</summary>
    public const string Warning = "org.saltograph.warning.v1";

    /// <summary>Something became known about a sensor: gap, reboot, clock.</summary>
    public const string Sensor = "org.saltograph.sensor.v1";
}

/// <summary>
/// The context attributes of a CloudEvents 1.0 event (cloudevents/spec, JSON format and MQTT binding), without its data.
/// Events with the same source and id are the same event.
/// </summary>
public sealed record CloudEventAttributes
{
    /// <summary>Version of the specification that is written and read.</summary>
    public const string SpecVersion = "1.0";

    /// <summary>Media type of one event in structured JSON.</summary>
    public const string StructuredContentType = "application/cloudevents+json";

    /// <summary>Media type of the data unless said otherwise.</summary>
    public const string JsonContentType = "application/json";

    /// <summary>Name of the event, repeatable for the same input; not empty.</summary>
    public required string Id { get; init; }

    /// <summary>Where it comes from, a URI reference; <c>/saltograph/{hall}</c> for ours; not empty.</summary>
    public required string Source { get; init; }

    /// <summary>What it says, <see cref="EventTypes"/> for ours; not empty.</summary>
    public required string Type { get; init; }

    /// <summary>Who it is about: the athlete's pseudonym; null when absent.</summary>
    public string? Subject { get; init; }

    /// <summary>When it happened, hall clock; null when absent.</summary>
    public SampleTime? Time { get; init; }

    /// <summary>Media type of the data; null when absent, which means JSON.</summary>
    public string? DataContentType { get; init; } = JsonContentType;

    /// <summary>Absolute URI of the schema of the data; null when absent.</summary>
    public string? DataSchema { get; init; }

    /// <summary>Further attributes by name (a-z, 0-9): text, or a JSON number or boolean in its text form.</summary>
    public IReadOnlyDictionary<string, string> Extensions { get; init; } = EmptyExtensions;

    internal static IReadOnlyDictionary<string, string> EmptyExtensions { get; } = new Dictionary<string, string>(StringComparer.Ordinal);

    /// <summary>Source of all events of a hall.</summary>
    public static string SourceOf(HallId hall) => $"/saltograph/{hall}";
}

/// <summary>A CloudEvents 1.0 event that was read.</summary>
/// <param name="Attributes">Its context attributes.</param>
/// <param name="Data">Its data when that is JSON or text; null without data or when it is binary.</param>
/// <param name="Binary">Its data when that is binary; null otherwise.</param>
public sealed record CloudEvent(CloudEventAttributes Attributes, JsonElement? Data, ReadOnlyMemory<byte>? Binary);
