using System.Net.Mime;
using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Service.Api;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Store;
using Saltograph.Store.Rows;
using Saltograph.Wire;

namespace Saltograph.Service.Privacy;

/// <summary>Consent as it stands.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Recording">Whether she may be recorded and measured.</param>
/// <param name="Display">Whether what was measured may be shown and published.</param>
/// <param name="GivenBy"><c>herself</c>, <c>guardian</c> or <c>both</c>; null while none was entered.</param>
/// <param name="Entered">When, RFC 3339; null while none was entered.</param>
internal sealed record ConsentBody(string Athlete, bool Recording, bool Display, string? GivenBy, string? Entered);

/// <summary>Consent to be entered; false withdraws it.</summary>
/// <param name="Recording">Whether she may be recorded and measured.</param>
/// <param name="Display">Whether what was measured may be shown and published.</param>
/// <param name="GivenBy"><c>herself</c>, <c>guardian</c> or <c>both</c>.</param>
internal sealed record ConsentEntry(bool Recording, bool Display, string GivenBy);

/// <summary>The name of an athlete: the only place where there is one.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Name">Name; null when none was entered.</param>
internal sealed record NameBody(string Athlete, string? Name);

/// <summary>What was erased.</summary>
/// <param name="Rows">Rows that were deleted.</param>
internal sealed record ErasedBody(long Rows);

/// <summary>Consent, name, everything of one athlete, erasure.</summary>
internal static class PrivacyEndpoints
{
    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        var one = api.MapGroup("/athletes/{athlete}").WithMetadata(new QueryKeys([])).WithTags("privacy")
            .AddEndpointFilter(PeopleEndpoints.WithoutQueryAsync).AddEndpointFilter(WithIdAsync);
        one.MapGet("/consent", (string athlete, PeopleBook book, ConsentGate gate) => TypedResults.Ok(Consent(athlete, book, gate))).RequireAuthorization(Rights.Administer)
            .WithName("consent").WithSummary("An athlete's consent as it stands").Produces<ConsentBody>().WithProblems(400);
        one.MapPut("/consent", PutConsentAsync).RequireAuthorization(Rights.Administer)
            .WithName("put-consent").WithSummary("Enter or withdraw consent; it counts at once")
            .WithDescription("recording gates what is taken from her sensors, display what pages, interface and MQTT tell.")
            .Accepts<ConsentEntry>("application/json").Produces<ConsentBody>().WithProblems(400, 415);
        one.MapGet("/name", async (string athlete, Onlooker onlooker, AthleteNames names, HallStore store, TimeProvider time, CancellationToken stop) =>
            {
                await store.WriteAsync(transaction => transaction.AddAuditAsync(HallClock.Now(time).Microseconds, onlooker.Called, "read-name", athlete), stop);
                return TypedResults.Ok(new NameBody(athlete, await names.FindAsync(athlete, stop)));
            }).RequireAuthorization(Rights.Administer)
            .WithName("name").WithSummary("Who a pseudonym is").Produces<NameBody>().WithProblems(400);
        one.MapPut("/name", PutNameAsync).RequireAuthorization(Rights.Administer)
            .WithName("put-name").WithSummary("Enter who a pseudonym is; kept sealed, in this one table")
            .Accepts<NameBody>("application/json").Produces(204).WithProblems(400, 415);
        one.MapGet("/everything", EverythingAsync).RequireAuthorization(Rights.ExportAthlete)
            .WithName("everything").WithSummary("All that is kept of one athlete, as a zip")
            .WithDescription("JSON Lines for each kind, and her recordings. For an administrator, and for a guardian of hers.").Produces<string>(200, MediaTypeNames.Application.Zip).WithProblems(400, 404);
        one.MapDelete("", EraseAsync).RequireAuthorization(Rights.Administer)
            .WithName("erase").WithSummary("Erase everything of one athlete, for good")
            .WithDescription("Rows, recordings, name, retained messages. Copies elsewhere (backups, exports, other programs) are not reached.").Produces<ErasedBody>().WithProblems(400);
    }

    /// <summary>What is wrong with what is entered for an athlete; null when nothing is.</summary>
    internal static ApiFault? Fault(string athlete, NameBody entry) =>
        entry.Athlete == athlete && !string.IsNullOrWhiteSpace(entry.Name) && entry.Name.Length <= AthleteNames.Longest ? null
        : new("name", "another athlete, nothing, or too long a name", $"the athlete of the path, 1 to {AthleteNames.Longest} characters");

    private static async ValueTask<object?> WithIdAsync(EndpointFilterInvocationContext context, EndpointFilterDelegate next) =>
        context.HttpContext.Request.RouteValues["athlete"] is string athlete && !IdText.IsValid(athlete)
            ? Problems.Wrong([new("athlete", $"'{athlete}'", IdText.Allowed)])
            : await next(context);

    private static ConsentBody Consent(string athlete, PeopleBook book, ConsentGate gate) => new(
        athlete,
        gate.MayRecord(new(athlete)),
        gate.MayShow(new(athlete)),
        book.Consent(athlete)?.GivenBy,
        book.Consent(athlete) is { } row ? Rfc3339.Text(new(row.EnteredUs)) : null);

    private static async Task<IResult> PutConsentAsync(
        string athlete, HttpRequest request, Onlooker onlooker, PeopleBook book, ConsentGate gate, ConsentDesk desk, CancellationToken stop)
    {
        var (entry, problem) = await JsonBody.ReadAsync<ConsentEntry>(request, "an object with recording, display and givenBy", stop);
        return entry is null ? problem!
            : await desk.PutAsync(onlooker.Called, athlete, entry, stop) is { } fault ? Problems.Wrong([fault])
            : TypedResults.Ok(Consent(athlete, book, gate));
    }

    private static async Task<IResult> PutNameAsync(string athlete, HttpRequest request, Onlooker onlooker, AthleteNames names, CancellationToken stop)
    {
        var (entry, problem) = await JsonBody.ReadAsync<NameBody>(request, "an object with athlete and name", stop);
        if (entry is null)
        {
            return problem!;
        }

        if (Fault(athlete, entry) is { } fault)
        {
            return Problems.Wrong([fault]);
        }

        await names.PutAsync(onlooker.Called, athlete, entry.Name!, stop);
        return TypedResults.NoContent();
    }

    private static async Task<IResult> EverythingAsync(string athlete, Onlooker onlooker, HallView seen, AthleteExport export, CancellationToken stop) =>
        !onlooker.May(Rights.Administer) && !await seen.SeesAsync(athlete, stop)
            ? Problems.Missing("athlete", $"'{athlete}'", "an athlete of yours")
            : TypedResults.Stream(await export.MakeAsync(athlete, onlooker.May(Rights.Administer), stop), MediaTypeNames.Application.Zip, $"{athlete}.zip");

    private static async Task<IResult> EraseAsync(string athlete, Onlooker onlooker, Erasure erasure, CancellationToken stop) =>
        TypedResults.Ok(new ErasedBody(await erasure.EraseAsync(onlooker.Called, athlete, stop)));
}
