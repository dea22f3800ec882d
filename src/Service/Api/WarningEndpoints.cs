using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Service.Warnings;

namespace Saltograph.Service.Api;

/// <summary>Warnings, and what staff do with them.</summary>
internal static class WarningEndpoints
{
    private const double LongestDays = 400;
    private static readonly QueryKeys None = new([]);

    private static readonly QueryKeys Keys = new([
        new("athlete", QueryKind.Id, "Pseudonym; without it all."),
        new("channel", QueryKind.Word, "Channel; without it all.") { Words = [.. Enum.GetValues<WarningChannel>().Select(WarningJson.Word)] },
        new("from", QueryKind.Time, "Raised from this instant on: closed ones too, newest first. Without from and before: those that are open, oldest first."),
        new("before", QueryKind.Time, "Raised before this instant; default now. At most 400 days after from."),
        new("limit", QueryKind.Whole, "Most warnings, with from or before; default 1000.") { Least = 1, Largest = 10_000 },
    ]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        api.MapGet("/warnings", ListAsync)
            .RequireAuthorization(Rights.LookAtWarnings).WithName("warnings").WithTags("warnings").WithMetadata(Keys)
            .WithSummary("Open warnings, or those raised in a stretch of time")
            .WithDescription("Shelved ones and those out of service are in the open list: a silence is never hidden. Advice is no alarm. Training information only.")
            .Produces<WarningsBody>().WithProblems(400);
        api.MapGet("/warnings/{id}", FindAsync)
            .RequireAuthorization(Rights.LookAtWarnings).WithName("warning").WithTags("warnings").WithMetadata(None)
            .WithSummary("One warning with its history")
            .Produces<WarningHistoryBody>().WithProblems(400, 404);
        api.MapPost("/warnings/{id}/acknowledge", (string id, HttpRequest request, WarningDesk desk, WarningAnswers warnings, Onlooker onlooker, CancellationToken stop) =>
                RequestBody.ThenAsync<StaffEntry>(request, "an object with who and why", entry => AnswerAsync(id, warnings, () => desk.AcknowledgeAsync(id, onlooker.Name ?? entry.Who, entry.Why, stop), stop), stop))
            .RequireAuthorization(Rights.AnswerWarnings).WithName("acknowledge-warning").WithTags("warnings").WithMetadata(None)
            .WithSummary("Acknowledge a warning; the condition goes on until it ends by itself")
            .Accepts<StaffEntry>("application/json").Produces<WarningHistoryBody>().WithProblems(400, 404, 415, 503);
        api.MapPost("/warnings/{id}/shelve", (string id, HttpRequest request, WarningDesk desk, WarningAnswers warnings, Onlooker onlooker, CancellationToken stop) =>
                RequestBody.ThenAsync<ShelfEntry>(request, "an object with who, why and until", entry => ShelveAsync(id, entry with { Who = onlooker.Name ?? entry.Who }, desk, warnings, stop), stop))
            .RequireAuthorization(Rights.AnswerWarnings).WithName("shelve-warning").WithTags("warnings").WithMetadata(None)
            .WithSummary("Silence a warning until an end time; it is announced again if the condition still holds then")
            .Accepts<ShelfEntry>("application/json").Produces<WarningHistoryBody>().WithProblems(400, 404, 415, 503);
        api.MapPost("/warnings/{id}/unshelve", (string id, HttpRequest request, WarningDesk desk, WarningAnswers warnings, Onlooker onlooker, CancellationToken stop) =>
                RequestBody.ThenAsync<StaffEntry>(request, "an object with who and why", entry => AnswerAsync(id, warnings, () => desk.UnshelveAsync(id, onlooker.Name ?? entry.Who, entry.Why, stop), stop), stop))
            .RequireAuthorization(Rights.AnswerWarnings).WithName("unshelve-warning").WithTags("warnings").WithMetadata(None)
            .WithSummary("End a shelving early")
            .Accepts<StaffEntry>("application/json").Produces<WarningHistoryBody>().WithProblems(400, 404, 415, 503);
    }

    /// <summary>What a command of staff led to: nothing when it is done, else what was wrong, or that it is not stored yet.</summary>
    public static async Task<IResult?> RefusalAsync(Func<Task<Fault?>> command)
    {
        try
        {
            return await command() is { } fault ? Problems.Wrong([new(fault.Where, fault.Found, fault.Allowed)]) : null;
        }
        catch (NotStoredYetException waiting)
        {
            return TypedResults.Problem(waiting.Message, statusCode: StatusCodes.Status503ServiceUnavailable);
        }
    }

    private static async Task<IResult> ListAsync(HttpRequest request, WarningAnswers warnings, TimeProvider time, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, Keys);
        var (athlete, channel, begin, end, limit) = (query.Text("athlete"), query.Text("channel"), query.TimeUs("from"), query.TimeUs("before"), query.Number("limit"));
        var isOpen = begin is null && end is null;
        var before = end is { } last ? new SampleTime(last) : HallClock.Now(time);
        var from = begin is { } first ? new SampleTime(first) : before.PlusSeconds(-28 * 86_400);
        if (!isOpen && (!(before > from) || before - from > LongestDays * 86_400))
        {
            query.Refuse(new("before", "a stretch that is empty or longer than 400 days", "after from, by at most 400 days"));
        }

        return query.Faults.Count > 0 ? Problems.Wrong(query.Faults)
            : TypedResults.Ok(isOpen ? await warnings.OpenAsync(athlete, channel, stop) : await warnings.RaisedAsync(athlete, channel, from, before, (int)(limit ?? 1000), stop));
    }

    private static async Task<IResult> FindAsync(string id, HttpRequest request, WarningAnswers warnings, CancellationToken stop) =>
        new QueryReader(request.Query, None).Faults is [_, ..] faults ? Problems.Wrong(faults)
        : await warnings.FindAsync(id, stop) is { } warning ? TypedResults.Ok(warning)
        : Problems.Missing("id", $"'{id}'", "the id of a warning");

    private static async Task<IResult> ShelveAsync(string id, ShelfEntry entry, WarningDesk desk, WarningAnswers warnings, CancellationToken stop) =>
        entry.Until is { } text && QueryReader.TryTime(text, out var us)
            ? await AnswerAsync(id, warnings, () => desk.ShelveAsync(id, HallClock.ToDateTime(new(us)), entry.Who, entry.Why, stop), stop)
            : Problems.Wrong([new("until", $"'{entry.Until}'", "an instant of RFC 3339 with its offset")]);

    private static async Task<IResult> AnswerAsync(string id, WarningAnswers warnings, Func<Task<Fault?>> command, CancellationToken stop) =>
        await warnings.FindAsync(id, stop) is null ? Problems.Missing("id", $"'{id}'", "the id of a warning")
        : await RefusalAsync(command) ?? TypedResults.Ok(await warnings.FindAsync(id, stop));
}
