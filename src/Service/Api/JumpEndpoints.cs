using System.Text.Json;

namespace Saltograph.Service.Api;

/// <summary>Jumps.</summary>
internal static class JumpEndpoints
{
    private const string Record =
        "Each jump is flat: id (event id), session, day, then every key of the jump record as in the events and files: athlete, number, takeoff, peak, landing (RFC 3339 and, with S, seconds), form, feet, "
        + "flightTimeS, heightM, turns in deg (positive: counter-clockwise from above), splitAngleDeg, landingShockG (g), absorption, series, grade, quality.";

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        api.MapGet("/jumps", PageAsync)
            .WithName("jumps").WithTags("jumps").WithMetadata(JumpQuery.Page)
            .WithSummary("Jumps by filter, page by page")
            .WithDescription(Record)
            .Produces<JumpPageBody>().WithProblems(400);
        api.MapGet("/jumps/{id}", FindAsync)
            .WithName("jump").WithTags("jumps").WithMetadata(new QueryKeys([]))
            .WithSummary("One jump by its event id")
            .WithDescription(Record)
            .Produces<JsonElement>().WithProblems(400, 404);
    }

    private static async Task<IResult> PageAsync(HttpRequest request, JumpAnswers jumps, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, JumpQuery.Page);
        var filter = JumpQuery.OfPage(query);
        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults) : TypedResults.Ok(await jumps.PageAsync(filter, stop));
    }

    private static async Task<IResult> FindAsync(string id, HttpRequest request, JumpAnswers jumps, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, new([]));
        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults)
            : await jumps.FindAsync(id, stop) is { } jump ? TypedResults.Ok(jump)
            : Problems.Missing("id", $"'{id}'", "the event id of a stored jump");
    }
}
