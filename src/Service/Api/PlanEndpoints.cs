using Saltograph.Board.Access;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Api;

/// <summary>Plans and limits of the day.</summary>
internal static class PlanEndpoints
{
    private static readonly QueryKeys None = new([]);

    private static readonly QueryKeys Keys = new([
        new("athlete", QueryKind.Id, "Pseudonym; without it all."),
        new("fromDay", QueryKind.Day, "First day; default today."),
        new("toDay", QueryKind.Day, "Last day, included; default the first."),
    ]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        api.MapGet("/plans", ListAsync)
            .WithName("plans").WithTags("plans").WithMetadata(Keys)
            .WithSummary("Plans and limits of some days")
            .Produces<PlansBody>().WithProblems(400);
        api.MapPut("/athletes/{athlete}/plans/{day}/{kind}", PutAsync)
            .RequireAuthorization(Rights.Plan).WithName("put-plan").WithTags("plans").WithMetadata(None)
            .WithSummary("Enter a plan (kind plan) or limits after an injury (kind return-to-play)")
            .WithDescription("limits: jumps, leftLandings, rightLandings (0 to 10000), heightM (0 to 2), shockG (1 to 400); what is absent is not limited. Replaces what was entered before; refused as a whole when anything is wrong. "
                + "A plan of 0 jumps on a day without any says that the day was free. Licensed staff and local rules decide.")
            .Accepts<PlanEntry>("application/json").Produces<PlanBody>().WithProblems(400, 415);
        api.MapDelete("/athletes/{athlete}/plans/{day}/{kind}", RemoveAsync)
            .RequireAuthorization(Rights.Plan).WithName("remove-plan").WithTags("plans").WithMetadata(None)
            .WithSummary("Take a plan away")
            .Produces(204).WithProblems(400, 404);
    }

    private static async Task<IResult> ListAsync(HttpRequest request, PlanAnswers plans, HallDays days, TimeProvider time, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, Keys);
        var (athlete, first) = (query.Text("athlete"), query.Text("fromDay") ?? days.Of(HallClock.Now(time)));
        var last = query.Text("toDay") ?? first;
        if (string.CompareOrdinal(last, first) < 0)
        {
            query.Refuse(new("toDay", $"'{last}'", $"{first} or later"));
        }

        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults) : TypedResults.Ok(await plans.OfDaysAsync(athlete, first, last, stop));
    }

    private static async Task<IResult> PutAsync(string athlete, string day, string kind, HttpRequest request, PlanAnswers plans, CancellationToken stop)
    {
        if (new QueryReader(request.Query, None).Faults is [_, ..] faults)
        {
            return Problems.Wrong(faults);
        }

        var (entry, problem) = await JsonBody.ReadAsync<PlanEntry>(request, "an object with limits and enteredBy", stop);
        return problem ?? Problems.Of(await plans.PutAsync(athlete, day, kind, entry!, stop));
    }

    private static async Task<IResult> RemoveAsync(string athlete, string day, string kind, HttpRequest request, PlanAnswers plans, CancellationToken stop) =>
        new QueryReader(request.Query, None).Faults is [_, ..] faults ? Problems.Wrong(faults)
        : await plans.RemoveAsync(athlete, day, kind, stop) ? TypedResults.NoContent()
        : Problems.Missing("day", $"no {kind} of {athlete} on {day}", "a plan that was entered");
}
