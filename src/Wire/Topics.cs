using Saltograph.Imu;

namespace Saltograph.Wire;

/// <summary>What a sensor topic carries.</summary>
public enum SensorTopic
{
    /// <summary>In, QoS 1: IMU packets.</summary>
    Samples,

    /// <summary>In, QoS 1, retained, and the sensor's will: online or not, boot id, firmware, battery.</summary>
    State,

    /// <summary>In, QoS 0: time request.</summary>
    Clock,

    /// <summary>Out, QoS 0: answer to a time request.</summary>
    ClockAnswer,

    /// <summary>Out, QoS 1: a fault of the sensor began, was answered or ended. A channel of its own, never mixed with the athletes' warnings.</summary>
    Faults,
}

/// <summary>What an athlete topic carries; all are outgoing.</summary>
public enum AthleteTopic
{
    /// <summary>QoS 1: early landing events.</summary>
    Landings,

    /// <summary>QoS 1: complete jump records.</summary>
    Jumps,

    /// <summary>QoS 1, retained: running totals of today.</summary>
    Load,

    /// <summary>QoS 1: a warning changed its state.</summary>
    Warnings,

    /// <summary>QoS 0: ten summaries per second for screens.</summary>
    Live,
}

/// <summary>
/// The MQTT topics, version 1. They name halls, sensors and pseudonyms only: topics end up in logs and access lists.
/// </summary>
public static class Topics
{
    private const string Prefix = "saltograph/v1/";
    private const string AnyLevel = "+";
    private static readonly string[] SensorTails = ["samples", "state", "clock", "clock/answer", "faults"];
    private static readonly string[] AthleteTails = ["landings", "jumps", "load", "warnings", "live"];

    /// <summary>Topic of one sensor.</summary>
    public static string Of(HallId hall, SensorId sensor, SensorTopic topic) => $"{Prefix}{hall}/sensors/{sensor}/{SensorTails[(int)topic]}";

    /// <summary>Topic of one athlete.</summary>
    public static string Of(HallId hall, AthleteId athlete, AthleteTopic topic) => $"{Prefix}{hall}/athletes/{athlete}/{AthleteTails[(int)topic]}";

    /// <summary>Subscription filter for one kind of message of all sensors of a hall, or of all halls.</summary>
    public static string AllSensors(HallId? hall, SensorTopic topic) => $"{Prefix}{hall?.Value ?? AnyLevel}/sensors/{AnyLevel}/{SensorTails[(int)topic]}";

    /// <summary>Subscription filter for one kind of message of all athletes of a hall, or of all halls.</summary>
    public static string AllAthletes(HallId? hall, AthleteTopic topic) => $"{Prefix}{hall?.Value ?? AnyLevel}/athletes/{AnyLevel}/{AthleteTails[(int)topic]}";

    /// <summary>Whether messages on this topic are retained.</summary>
    public static bool IsRetained(SensorTopic topic) => topic == SensorTopic.State;

    /// <summary>Whether messages on this topic are retained.</summary>
    public static bool IsRetained(AthleteTopic topic) => topic == AthleteTopic.Load;

    /// <summary>MQTT quality of service of this topic: 0 or 1.</summary>
    public static int QualityOfService(SensorTopic topic) => topic is SensorTopic.Samples or SensorTopic.State or SensorTopic.Faults ? 1 : 0;

    /// <summary>MQTT quality of service of this topic: 0 or 1.</summary>
    public static int QualityOfService(AthleteTopic topic) => topic == AthleteTopic.Live ? 0 : 1;

    /// <summary>Takes a sensor topic apart; false when it is none or an id is not allowed.</summary>
    public static bool TryParseSensor(string? topic, out HallId hall, out SensorId sensor, out SensorTopic kind)
    {
        hall = default;
        sensor = default;
        kind = default;
        if (!TrySplit(topic, "sensors", SensorTails, out var hallText, out var sensorText, out var index))
        {
            return false;
        }

        hall = new(hallText);
        sensor = new(sensorText);
        kind = (SensorTopic)index;
        return true;
    }

    /// <summary>Takes an athlete topic apart; false when it is none or an id is not allowed.</summary>
    public static bool TryParseAthlete(string? topic, out HallId hall, out AthleteId athlete, out AthleteTopic kind)
    {
        hall = default;
        athlete = default;
        kind = default;
        if (!TrySplit(topic, "athletes", AthleteTails, out var hallText, out var athleteText, out var index))
        {
            return false;
        }

        hall = new(hallText);
        athlete = new(athleteText);
        kind = (AthleteTopic)index;
        return true;
    }

    private static bool TrySplit(string? topic, string group, string[] tails, out string hall, out string id, out int tail)
    {
        hall = id = "";
        tail = -1;
        if (topic is null || !topic.StartsWith(Prefix, StringComparison.Ordinal))
        {
            return false;
        }

        // At most four parts: the tail of "clock/answer" keeps its slash.
        var parts = topic[Prefix.Length..].Split('/', 4);
        if (parts.Length != 4 || parts[1] != group || !IdText.IsValid(parts[0]) || !IdText.IsValid(parts[2]))
        {
            return false;
        }

        hall = parts[0];
        id = parts[2];
        tail = Array.IndexOf(tails, parts[3]);
        return tail >= 0;
    }
}
