using System.Text.Json;
using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Service.Warnings;

namespace Saltograph.Service.Api;

/// <summary>The rules of the warnings.</summary>
internal static class RuleEndpoints
{
    private const double LongestDays = 100;
    private static readonly QueryKeys None = new([]);

    private static readonly QueryKeys Keys = new([
        new("from", QueryKind.Time, "Begin of the stretch; default 28 days before its end."),
        new("before", QueryKind.Time, "End of the stretch; default now. At most 100 days after from."),
    ]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        api.MapGet("/rules", async (HttpRequest request, WarningAnswers warnings, CancellationToken stop) =>
                new QueryReader(request.Query, None).Faults is [_, ..] faults ? Problems.Wrong(faults) : TypedResults.Ok(await warnings.RulesAsync(stop)))
            .RequireAuthorization(Rights.LookAtWarnings).WithName("rules").WithTags("rules").WithMetadata(None)
            .WithSummary("The rules in force, and what is out of service")
            .Produces<RulesBody>().WithProblems(400);
        api.MapPost("/rules/dry-run", TryAsync)
            .RequireAuthorization(Rights.LookAtWarnings).WithName("try-rules").WithTags("rules").WithMetadata(Keys)
            .WithSummary("How often would these rules have warned")
            .WithDescription("Body: rules as in warnings.json, or nothing for those in force. Runs the live engine over stored jumps and plans; the five weeks before the stretch teach the classes. Rules of sensors are left out, and the answer names them. Nothing is stored or told.")
            .Accepts<JsonElement>("application/json").Produces<DryRunBody>().WithProblems(400, 415);
        foreach (var (path, name, summary, isOut) in ((string, string, string, bool)[])[
            ("out-of-service", "silence-rule", "Take a rule out of service for an athlete, until it is put back", true), ("into-service", "put-rule-back", "Put a rule back into service", false)])
        {
            api.MapPost($"/rules/{{rule}}/{path}", (string rule, HttpRequest request, WarningDesk desk, WarningAnswers warnings, Onlooker onlooker, CancellationToken stop) =>
                    RequestBody.ThenAsync<ServiceEntry>(request, "an object with athlete, who and why", entry => ServiceAsync(rule, isOut, entry with { Who = onlooker.Name ?? entry.Who }, desk, warnings, onlooker, stop), stop))
                .RequireAuthorization(Rights.AnswerWarnings).WithName(name).WithTags("rules").WithMetadata(None)
                .WithSummary(summary)
                .Accepts<ServiceEntry>("application/json").Produces<RulesBody>().WithProblems(400, 415, 503);
        }
    }

    private static async Task<IResult> ServiceAsync(string rule, bool isOut, ServiceEntry entry, WarningDesk desk, WarningAnswers warnings, Onlooker onlooker, CancellationToken stop) =>
        !onlooker.Sees(entry.Athlete ?? "") ? Problems.Wrong([new("athlete", $"'{entry.Athlete}'", "an athlete of yours")])
        : await WarningEndpoints.RefusalAsync(() => isOut
            ? desk.TakeOutOfServiceAsync(rule, entry.Athlete!, entry.Who, entry.Why, stop)
            : desk.ReturnToServiceAsync(rule, entry.Athlete!, entry.Who, entry.Why, stop))
        ?? TypedResults.Ok(await warnings.RulesAsync(stop));

    private static async Task<IResult> TryAsync(HttpRequest request, WarningAnswers warnings, TimeProvider time, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, Keys);
        var before = query.TimeUs("before") is { } end ? new SampleTime(end) : HallClock.Now(time);
        var from = query.TimeUs("from") is { } begin ? new SampleTime(begin) : before.PlusSeconds(-28 * 86_400);
        if (!(before > from) || before - from > LongestDays * 86_400)
        {
            query.Refuse(new("before", "a stretch that is empty or longer than 100 days", "after from, by at most 100 days"));
        }

        if (query.Faults.Count > 0)
        {
            return Problems.Wrong(query.Faults);
        }

        JsonElement? rules = null;
        if (request.ContentLength is not (null or 0) || request.ContentType is not null)
        {
            var (body, problem) = await JsonBody.ReadAsync<JsonElement>(request, "rules as in warnings.json", stop);
            if (problem is not null)
            {
                return problem;
            }

            rules = body;
        }

        return Problems.Of(await warnings.TryAsync(rules, from, before, stop));
    }
}
