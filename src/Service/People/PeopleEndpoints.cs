using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Service.Api;
using Saltograph.Service.Configuration;
using Saltograph.Store;
using Saltograph.Wire;

namespace Saltograph.Service.People;

/// <summary>What an administrator does: people, their roles and athletes, and who looked.</summary>
internal static class PeopleEndpoints
{
    private const string Body = "an object with roles, active and subject";
    private const int AuditPage = 200;

    private static readonly QueryKeys None = new([]);

    private static readonly QueryKeys AuditKeys = new([
        new("athlete", QueryKind.Id, "Pseudonym; without it all."),
        new("before", QueryKind.Whole, "Number before which to go on; default the newest.") { Least = 1 },
    ]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        var people = api.MapGroup("/people").RequireAuthorization(Rights.Administer).WithMetadata(None).WithTags("people").AddEndpointFilter(WithoutQueryAsync);
        people.MapGet("", (PeopleBook book) => TypedResults.Ok(new PeopleBody([.. book.Everybody.Select(row => PersonBody.Of(row, book))])))
            .WithName("people").WithSummary("Everybody who may sign in").Produces<PeopleBody>().WithProblems(400);
        people.MapPut("/{person}", PutAsync)
            .WithName("put-person").WithSummary("Add or change a person")
            .WithDescription("The name is 1 to 32 characters a-z, 0-9 or -, and no real name. Changed roles end the person's sessions. Nobody gets a password this way: make a link.")
            .Accepts<PersonEntry>("application/json").Produces<PersonBody>().WithProblems(400, 415);
        people.MapPost("/{person}/link", LinkAsync)
            .WithName("make-link").WithSummary("Make a one-time link by which a person sets a password")
            .WithDescription("Shown this once; links made before are gone. Give it to the person by a way that you trust.").Produces<LinkBody>().WithProblems(400, 404);
        people.MapPut("/{person}/athletes/{athlete}", (string person, string athlete, Onlooker onlooker, PeopleDesk desk, CancellationToken stop) =>
                AssignAsync(person, athlete, true, onlooker, desk, stop))
            .WithName("assign").WithSummary("Let a person see an athlete's data").Produces(204).WithProblems(400, 404);
        people.MapDelete("/{person}/athletes/{athlete}", (string person, string athlete, Onlooker onlooker, PeopleDesk desk, CancellationToken stop) =>
                AssignAsync(person, athlete, false, onlooker, desk, stop))
            .WithName("unassign").WithSummary("No longer let a person see an athlete's data").Produces(204).WithProblems(400, 404);
        api.MapGet("/audit", AuditAsync).RequireAuthorization(Rights.Audit).WithMetadata(AuditKeys).WithTags("people")
            .WithName("audit").WithSummary("Who looked and who changed, newest first").Produces<AuditBody>().WithProblems(400);
    }

    /// <summary>Refuses any key of a query.</summary>
    public static async ValueTask<object?> WithoutQueryAsync(EndpointFilterInvocationContext context, EndpointFilterDelegate next) =>
        new QueryReader(context.HttpContext.Request.Query, None).Faults is [_, ..] faults ? Problems.Wrong(faults) : await next(context);

    private static async Task<IResult> PutAsync(string person, HttpRequest request, Onlooker onlooker, PeopleDesk desk, PeopleBook book, CancellationToken stop)
    {
        var (entry, problem) = await JsonBody.ReadAsync<PersonEntry>(request, Body, stop);
        if (entry is null)
        {
            return problem!;
        }

        if ((IReadOnlyList<string>?)entry.Roles is null)
        {
            return Problems.Wrong([new("roles", "nothing", $"a list of {Roles.Allowed}")]);
        }

        var answer = await desk.PutAsync(onlooker.Called, person, entry.Roles, entry.Active, entry.Subject, stop);
        return answer.Value is { } row ? TypedResults.Ok(PersonBody.Of(row, book)) : Problems.Wrong(answer.Faults);
    }

    private static async Task<IResult> LinkAsync(string person, Onlooker onlooker, PeopleDesk desk, ServiceOptions options, CancellationToken stop) =>
        await desk.LinkAsync(onlooker.Called, person, stop) is { } code ? TypedResults.Ok(new LinkBody($"/set-password#{code}", options.People.LinkHours)) : NoPerson(person);

    private static async Task<IResult> AssignAsync(string person, string athlete, bool assigned, Onlooker onlooker, PeopleDesk desk, CancellationToken stop) =>
        !IdText.IsValid(athlete) ? Problems.Wrong([new("athlete", $"'{athlete}'", IdText.Allowed)])
        : await desk.AssignAsync(onlooker.Called, person, athlete, assigned, stop) is null ? NoPerson(person)
        : TypedResults.NoContent();

    private static async Task<IResult> AuditAsync(HttpRequest request, HallStore store, CancellationToken stop)
    {
        var query = new QueryReader(request.Query, AuditKeys);
        var (athlete, before) = (query.Text("athlete"), query.Number("before"));
        if (query.Faults.Count > 0)
        {
            return Problems.Wrong(query.Faults);
        }

        var rows = await store.People.AuditAsync(athlete, (long?)before, AuditPage + 1, stop);
        return TypedResults.Ok(new AuditBody(
            [.. rows.Take(AuditPage).Select(row => new AuditEntry(row.Number, Rfc3339.Text(new(row.AtUs)), row.Who, row.Did, row.Athlete, row.Detail))],
            rows.Count > AuditPage ? rows[AuditPage - 1].Number : null));
    }

    private static IResult NoPerson(string person) => Problems.Missing("person", $"'{person}'", "an active person who was added");
}
