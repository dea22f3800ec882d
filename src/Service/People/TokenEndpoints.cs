using System.Security.Claims;
using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Service.Api;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.People;

/// <summary>Tokens of one's own. They are made by somebody who signed in, never by a token.</summary>
internal static class TokenEndpoints
{
    private const string Body = "an object with label, scopes and days";
    private const int Most = 50;

    private static readonly QueryKeys None = new([]);

    /// <summary>Adds the endpoints.</summary>
    public static void Map(IEndpointRouteBuilder api)
    {
        var tokens = api.MapGroup("/tokens").RequireAuthorization(Rights.OwnTokens).WithMetadata(None).WithTags("tokens");
        tokens.MapGet("", (HttpRequest request, Onlooker onlooker, PeopleBook book) => new QueryReader(request.Query, None).Faults is [_, ..] faults
                ? Problems.Wrong(faults)
                : TypedResults.Ok(new TokensBody([.. book.TokensOf(onlooker.Called).Select(row => TokenBody.Of(row))])))
            .WithName("tokens").WithSummary("Your tokens").Produces<TokensBody>().WithProblems(400);
        tokens.MapPost("", MakeAsync)
            .WithName("make-token").WithSummary("Make a token for a program")
            .WithDescription("It acts for you, within its scopes, in the header Authorization: Bearer. It is shown this once.")
            .Accepts<TokenEntry>("application/json").Produces<TokenBody>(201).WithProblems(400, 415);
        tokens.MapDelete("/{token}", RevokeAsync)
            .WithName("revoke-token").WithSummary("Revoke a token; it ends at once").Produces(204).WithProblems(400, 404);
    }

    private static async Task<IResult> MakeAsync(HttpRequest request, Onlooker onlooker, PeopleBook book, TimeProvider time, CancellationToken stop)
    {
        if (new QueryReader(request.Query, None).Faults is [_, ..] wrong)
        {
            return Problems.Wrong(wrong);
        }

        if (request.HttpContext.User.FindFirstValue(PeopleSide.SessionClaim) is null || onlooker.Name is not { } person)
        {
            return Problems.Wrong([new("Authorization", "nobody who signed in", "a session of a person; a token cannot make tokens")]);
        }

        var (entry, problem) = await JsonBody.ReadAsync<TokenEntry>(request, Body, stop);
        if (entry is null)
        {
            return problem!;
        }

        var faults = Faults(entry, onlooker.May).ToList();
        if (book.TokensOf(person).Count() >= Most)
        {
            faults.Add(new("tokens", $"{Most} tokens of yours", "fewer: revoke some first"));
        }

        if (faults.Count > 0)
        {
            return Problems.Wrong(faults);
        }

        var now = time.GetUtcNow();
        var (row, text) = TokenScheme.Make(
            person, string.Join(' ', entry.Scopes.Distinct(StringComparer.Ordinal)), entry.Label, HallClock.Of(now).Microseconds, HallClock.Of(now.AddDays(entry.Days)).Microseconds);
        await book.ChangeAsync(
            async transaction =>
            {
                await transaction.AddAuditAsync(row.CreatedUs, person, "make-token", null, $"{row.Id}: {row.Scopes}");
                return await transaction.AddTokenAsync(row);
            },
            stop);
        return TypedResults.Created($"{ApiEndpoints.Root}/tokens/{row.Id}", TokenBody.Of(row, text));
    }

    private static async Task<IResult> RevokeAsync(string token, HttpRequest request, Onlooker onlooker, PeopleBook book, TimeProvider time, CancellationToken stop)
    {
        if (new QueryReader(request.Query, None).Faults is [_, ..] faults)
        {
            return Problems.Wrong(faults);
        }

        if (book.Token(token) is not { } row || (row.Person != onlooker.Name && !onlooker.May(Rights.Administer)))
        {
            return Problems.Missing("token", $"'{token}'", "the id of a token of yours");
        }

        await book.ChangeAsync(
            async transaction =>
            {
                await transaction.AddAuditAsync(HallClock.Now(time).Microseconds, onlooker.Called, "revoke-token", null, $"{row.Id} of {row.Person}");
                return await transaction.RemoveTokenAsync(token);
            },
            stop);
        return TypedResults.NoContent();
    }

    /// <summary>What is wrong with what is entered.</summary>
    internal static IEnumerable<ApiFault> Faults(TokenEntry entry, Func<string, bool> may)
    {
        if ((string?)entry.Label is not { Length: >= 1 and <= 64 } label || label.Any(char.IsControl))
        {
            yield return new("label", "nothing, or more than 64 characters", "1 to 64 characters");
        }

        if ((IReadOnlyList<string>?)entry.Scopes is not { Count: > 0 } scopes)
        {
            yield return new("scopes", "none", "at least one right of yours");
        }
        else
        {
            foreach (var scope in scopes.Where(scope => !Rights.All.Contains(scope) || scope == Rights.OwnTokens || !may(scope)))
            {
                yield return new("scopes", $"'{scope}'", "a right of yours, not own-tokens");
            }
        }

        if (entry.Days is < 1 or > 365)
        {
            yield return new("days", $"{entry.Days}", "1 to 365");
        }
    }
}
