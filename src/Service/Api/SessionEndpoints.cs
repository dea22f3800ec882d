using Saltograph.Imu;
using Saltograph.Service.Ingest;

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
    }

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
        : Problems.Missing("id", $"'{id}'", "the id of a stored training");
}
