using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Store;
using Saltograph.Wire;

namespace Saltograph.Service.Api;

/// <summary>A sensor of the roster.</summary>
/// <param name="Sensor">Its id.</param>
/// <param name="Athlete">Who wears it.</param>
/// <param name="Site"><c>trunk</c>, <c>ankle-left</c> or <c>ankle-right</c>.</param>
/// <param name="Online">Whether it says that it is connected; null when it said nothing since the start.</param>
/// <param name="BatteryPercent">Battery as it told last, in its state or in a packet; null when it did not say.</param>
/// <param name="Firmware">Firmware; null when it did not say.</param>
/// <param name="StateTime">When it said so, RFC 3339.</param>
/// <param name="Heard">Its last packet that was measured.</param>
/// <param name="LostPackets">Packets given up since the start of the service.</param>
/// <param name="RejectedPackets">Messages that were no packets since the start, by reason.</param>
/// <param name="OpenFaults">Ids of its open warnings.</param>
internal sealed record SensorBody(
    string Sensor, string Athlete, string Site, bool? Online, double? BatteryPercent, string? Firmware, string? StateTime, string? Heard, long LostPackets,
    IReadOnlyDictionary<string, long> RejectedPackets, IReadOnlyList<string> OpenFaults);

/// <summary>The sensors of the roster.</summary>
/// <param name="Broker"><c>embedded</c> or <c>external</c>.</param>
/// <param name="BrokerReady">Whether packets can arrive.</param>
/// <param name="Sensors">Those of the athletes that who asks may see, as in the roster.</param>
internal sealed record SensorsBody(string Broker, bool BrokerReady, IReadOnlyList<SensorBody> Sensors);

/// <summary>Answers questions for sensors.</summary>
internal sealed class SensorAnswers(HallConfiguration configuration, SensorBook book, IPacketSource source, HallView store, Onlooker onlooker)
{
    /// <summary>All sensors of the roster.</summary>
    public async Task<SensorsBody> AllAsync(CancellationToken stop)
    {
        var open = (await store.Warnings.ActiveAsync(stop: stop)).Where(warning => warning.Channel == "sensor").Select(WarningBody.Of).ToLookup(
            warning => warning.LastChange.GetProperty("subject").GetString(), warning => warning.Id, StringComparer.Ordinal);
        return new(
            configuration.Service.Broker.Kind,
            source.IsReady,
            [.. configuration.Roster.Sensors.Where(worn => onlooker.Sees(worn.Athlete)).Select(worn =>
            {
                var known = book.Of(new SensorId(worn.Sensor));
                return new SensorBody(
                    worn.Sensor, worn.Athlete, worn.Site, known.State?.Online, known.BatteryPercent, known.State?.Firmware, Text(known.StateTime), Text(known.Heard), known.Lost, known.Rejected,
                    [.. open[worn.Sensor]]);
            })]);
    }

    private static string? Text(SampleTime? time) => time is { } known ? Rfc3339.Text(known) : null;
}

/// <summary>Sensors and the broker.</summary>
internal static class SensorEndpoints
{
    private static readonly QueryKeys None = new([]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api) => api
        .MapGet("/sensors", async (HttpRequest request, SensorAnswers sensors, CancellationToken stop) =>
            new QueryReader(request.Query, None).Faults is [_, ..] faults ? Problems.Wrong(faults) : TypedResults.Ok(await sensors.AllAsync(stop)))
        .RequireAuthorization(Rights.LookAtSensors).WithName("sensors").WithTags("sensors").WithMetadata(None)
        .WithSummary("Sensors of the roster: state, battery, what was lost and rejected, open faults; and the broker")
        .WithDescription("Counts begin with the service. Retained states come again after a start.")
        .Produces<SensorsBody>().WithProblems(400);
}
