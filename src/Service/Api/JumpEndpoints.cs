using System.Text.Json;

namespace Saltograph.Service.Api;

/// <summary>Jumps.</summary>
internal static class JumpEndpoints
{
    private const string Record =
        "Each jump is flat: id (event id), session, day, apparatus (of the training, null when none was entered), landingClass (among her own landings of site, form and leg; "
        + "null for jumps stored before there were classes), then every key of the jump record as in the events and files: athlete, number, takeoff, peak, landing (RFC 3339 and, with S, seconds), form, feet, "
        + "flightTimeS, heightM, turns in deg (positive: counter-clockwise from above), splitAngleDeg, landingShockG (g), absorption, series, grade, quality.";

    private const string Course =
        "Lists with one number per node (161): preparation, push-off, flight and absorption have the same number of nodes in every jump; phaseStarts tells the nodes at which they begin, and the last. "
        + "timeS is about take-off and never falls; accelerations, velocities and turn rates are those of the trunk, up and to the left positive; inclinations of the shanks are from hanging straight down, positive to the "
        + "front while front and rear are known; the trunk's inclination from upright has no side. constantMomentumRateDps covers the nodes of the flight only: the turn rate that the opening of the legs alone would give, "
        + "for usual proportions. Forces are magnitudes of specific force, 1 at rest, the largest around each node. null: not measured. Jumps that were stored before there were courses have none (404).";

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
        api.MapGet("/jumps/{id}/curves", CurvesAsync)
            .WithName("jump-curves").WithTags("jumps").WithMetadata(new QueryKeys([]))
            .WithSummary("The course of one jump, laid on its phases")
            .WithDescription(Course)
            .Produces<JumpCurvesBody>().WithProblems(400, 404);
    }

    private static async Task<IResult> PageAsync(HttpRequest request, JumpAnswers jumps, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, JumpQuery.Page);
        var filter = JumpQuery.OfPage(query);
        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults) : TypedResults.Ok(await jumps.PageAsync(filter, stop));
    }

    private static async Task<IResult> CurvesAsync(string id, HttpRequest request, JumpCourses courses, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, new([]));
        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults)
            : await courses.CurvesAsync(id, stop) is { } curves ? TypedResults.Ok(JumpCurvesBody.Of(id, curves))
            : Problems.Missing("id", $"'{id}'", "the event id of a stored jump whose course was kept");
    }

    private static async Task<IResult> FindAsync(string id, HttpRequest request, JumpAnswers jumps, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, new([]));
        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults)
            : await jumps.FindAsync(id, stop) is { } jump ? TypedResults.Ok(jump)
            : Problems.Missing("id", $"'{id}'", "the event id of a stored jump");
    }
}
