using Saltograph.Imu;
using Saltograph.Wire;

namespace Saltograph.Service.Security;

/// <summary>Who may do what at the broker. What is not listed is denied. The same rules as text for Mosquitto: <see cref="MosquittoFiles"/>.</summary>
internal static class AccessRules
{
    /// <summary>What a sensor publishes.</summary>
    public static readonly IReadOnlyList<SensorTopic> OfSensors = [SensorTopic.Samples, SensorTopic.State, SensorTopic.Clock];

    /// <summary>Beginning of everything that is told of athletes.</summary>
    public static string AthletesPrefix(HallId hall) => $"saltograph/v1/{hall}/athletes/";

    /// <summary>Whether an account may publish on a topic.</summary>
    public static bool MayPublish(Account account, HallId hall, string topic) =>
        account.Kind == Account.Sensor && OfSensors.Any(kind => topic == Topics.Of(hall, new SensorId(account.Name), kind));

    /// <summary>Whether an account may subscribe to a filter.</summary>
    public static bool MaySubscribe(Account account, HallId hall, string filter) => account.Kind switch
    {
        Account.Sensor => filter == Topics.Of(hall, new SensorId(account.Name), SensorTopic.ClockAnswer),

        // Below the beginning any filter, wildcards too; a wildcard in the beginning would be more than that.
        Account.Reader => filter.StartsWith(AthletesPrefix(hall), StringComparison.Ordinal)
            || filter == Topics.AllSensors(hall, SensorTopic.Faults)
            || (Topics.TryParseSensor(filter, out var named, out _, out var kind) && named == hall && kind == SensorTopic.Faults),
        _ => false,
    };
}
