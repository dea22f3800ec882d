using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Service.Warnings;

namespace Saltograph.Service.Api;

/// <summary>Trainings and athletes.</summary>
internal static class SessionEndpoints
{
    private const double LongestDays = 400;

    private static readonly QueryKeys Keys = new([
        new("athlete", QueryKind.Id, "Pseudonym; without it all."),
        new("from", QueryKind.Time, "Trainings that go on after this instant; default 28 days ago."),
        new("before", QueryKind.Time, "Trainings that began before this instant; default now. At most 400 days after from."),
    ]);

    private static readonly QueryKeys None = new([]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        api.MapGet("/athletes", async (HttpRequest request, SessionAnswers sessions, CancellationToken stop) =>
                new QueryReader(request.Query, None).Faults is [_, ..] faults ? Problems.Wrong(faults) : TypedResults.Ok(await sessions.AthletesAsync(stop)))
            .WithName("athletes").WithTags("athletes").WithMetadata(None)
            .WithSummary("Pseudonyms of all athletes with anything stored")
            .Produces<AthletesBody>().WithProblems(400);
        api.MapGet("/sessions", ListAsync)
            .WithName("sessions").WithTags("sessions").WithMetadata(Keys)
            .WithSummary("Trainings that overlap a stretch of time")
            .WithDescription("exertion is 0 to 10 (category-ratio scale), minutes is what it counts for; kind is class, apparatus or run-through.")
            .Produces<SessionsBody>().WithProblems(400);
        api.MapGet("/sessions/{id}", FindAsync)
            .WithName("session").WithTags("sessions").WithMetadata(None)
            .WithSummary("One training")
            .Produces<SessionBody>().WithProblems(400, 404);
        api.MapPost("/sessions", (HttpRequest request, SessionDesk desk, SessionAnswers sessions, Onlooker onlooker, CancellationToken stop) => RequestBody.ThenAsync<SessionBegin>(
                request,
                "an object with athlete and who; kind, apparatus, notes, exertion, minutes",
                async begin => !onlooker.Sees(begin.Athlete ?? "") ? Problems.Wrong([new("athlete", $"'{begin.Athlete}'", "an athlete of yours")])
                : await desk.OpenAsync(begin.Athlete!, onlooker.Name ?? begin.Who, begin.Entry(), stop) switch
                {
                    ({ } id, _) => TypedResults.Created($"{ApiEndpoints.Root}/sessions/{id}", await sessions.FindAsync(id, stop)),
                    (_, var fault) => Refused(fault!),
                },
                stop))
            .RequireAuthorization(Rights.Plan).WithName("open-session").WithTags("sessions").WithMetadata(None)
            .WithSummary("Open a training now; one that activity has opened ends")
            .Accepts<SessionBegin>("application/json").Produces<SessionBody>(201).WithProblems(400, 415);
        api.MapPut("/sessions/{id}", (string id, HttpRequest request, SessionDesk desk, SessionAnswers sessions, Onlooker onlooker, CancellationToken stop) => RequestBody.ThenAsync<SessionNote>(
                request,
                "an object with who; kind, apparatus, notes, exertion, minutes",
                async note => await sessions.FindAsync(id, stop) is null ? Missing(id)
                    : await desk.DescribeAsync(id, onlooker.Name ?? note.Who, note.Entry(), stop) is { } fault ? Refused(fault)
                    : TypedResults.Ok(await sessions.FindAsync(id, stop)),
                stop))
            .RequireAuthorization(Rights.Plan).WithName("describe-session").WithTags("sessions").WithMetadata(None)
            .WithSummary("Enter kind, apparatus, notes, exertion and minutes of a training, open or closed; replaces what was entered")
            .Accepts<SessionNote>("application/json").Produces<SessionBody>().WithProblems(400, 404, 415);
        api.MapPost("/sessions/{id}/close", (string id, HttpRequest request, SessionDesk desk, SessionAnswers sessions, Onlooker onlooker, CancellationToken stop) => RequestBody.ThenAsync<SessionEnd>(
                request,
                "an object with who",
                async end => await sessions.FindAsync(id, stop) is null ? Missing(id)
                    : await WarningEndpoints.RefusalAsync(() => desk.CloseAsync(id, onlooker.Name ?? end.Who, stop)) ?? TypedResults.Ok(await sessions.FindAsync(id, stop)),
                stop))
            .RequireAuthorization(Rights.Plan).WithName("close-session").WithTags("sessions").WithMetadata(None)
            .WithSummary("Close a training now")
            .Accepts<SessionEnd>("application/json").Produces<SessionBody>().WithProblems(400, 404, 415, 503);
    }

    private static IResult Refused(Load.Fault fault) => Problems.Wrong([new(fault.Where, fault.Found, fault.Allowed)]);

    private static IResult Missing(string id) => Problems.Missing("id", $"'{id}'", "the id of a stored training");

    private static async Task<IResult> ListAsync(HttpRequest request, SessionAnswers sessions, TimeProvider time, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, Keys);
        var athlete = query.Text("athlete");
        var before = query.TimeUs("before") is { } end ? new SampleTime(end) : HallClock.Now(time);
        var from = query.TimeUs("from") is { } begin ? new SampleTime(begin) : before.PlusSeconds(-28 * 86_400);
        if (!(before > from) || before - from > LongestDays * 86_400)
        {
            query.Refuse(new("before", "a stretch that is empty or longer than 400 days", "after from, by at most 400 days"));
        }

        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults) : TypedResults.Ok(await sessions.OverlappingAsync(athlete, from, before, stop));
    }

    private static async Task<IResult> FindAsync(string id, HttpRequest request, SessionAnswers sessions, CancellationToken stop) =>
        new QueryReader(request.Query, None).Faults is [_, ..] faults ? Problems.Wrong(faults)
        : await sessions.FindAsync(id, stop) is { } session ? TypedResults.Ok(session)
        : Missing(id);
}
