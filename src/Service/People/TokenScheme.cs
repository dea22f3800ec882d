using System.Globalization;
using System.Security.Claims;
using System.Security.Cryptography;
using System.Text;
using System.Text.Encodings.Web;
using Microsoft.AspNetCore.Authentication;
using Microsoft.Extensions.Options;
using Saltograph.Board.Access;
using Saltograph.Store.Rows;

namespace Saltograph.Service.People;

/// <summary>A program signs each request with a token: <c>Authorization: Bearer salt_ID_SECRET</c>. It acts for the person who made it, within the token's scopes.</summary>
/// <remarks>The secret has 256 random bits, so a plain SHA-256 keeps it: there is nothing to guess.</remarks>
internal sealed class TokenScheme(
    IOptionsMonitor<AuthenticationSchemeOptions> options, ILoggerFactory log, UrlEncoder encoder, PeopleBook book, TimeProvider time)
    : AuthenticationHandler<AuthenticationSchemeOptions>(options, log, encoder)
{
    /// <summary>Name of the scheme.</summary>
    public const string Name = "token";

    private const string Bearer = "Bearer ";
    private const string Mark = "salt";

    /// <summary>Makes a token.</summary>
    /// <returns>The row to be kept, and the text that is shown once.</returns>
    public static (TokenRow Row, string Text) Make(string person, string scopes, string label, long createdUs, long expiresUs)
    {
        var id = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(8));
        var secret = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(32));
        return (new(id, HashOf(secret), person, scopes, label, createdUs, expiresUs), $"{Mark}_{id}_{secret}");
    }

    /// <summary>Whether a request shows a token.</summary>
    public static bool IsIn(HttpRequest request) => request.Headers.Authorization.ToString().StartsWith(Bearer, StringComparison.OrdinalIgnoreCase);

    /// <summary>The hash of a random secret.</summary>
    public static string HashOf(string secret) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(secret)));

    /// <inheritdoc/>
    protected override Task<AuthenticateResult> HandleAuthenticateAsync() => Task.FromResult(Check());

    /// <inheritdoc/>
    protected override Task HandleChallengeAsync(AuthenticationProperties properties)
    {
        Response.Headers.WWWAuthenticate = "Bearer";
        return base.HandleChallengeAsync(properties);
    }

    private AuthenticateResult Check()
    {
        if (!IsIn(Request))
        {
            return AuthenticateResult.NoResult();
        }

        var parts = Request.Headers.Authorization.ToString()[Bearer.Length..].Trim().Split('_');
        if (parts.Length != 3 || parts[0] != Mark || book.Token(parts[1]) is not { } token
            || !CryptographicOperations.FixedTimeEquals(Encoding.ASCII.GetBytes(token.Hash), Encoding.ASCII.GetBytes(HashOf(parts[2]))))
        {
            return Refuse("no such token");
        }

        var nowUs = Ingest.HallClock.Now(time).Microseconds;
        if (token.ExpiresUs <= nowUs)
        {
            return Refuse(string.Create(CultureInfo.InvariantCulture, $"token {token.Id} is over"));
        }

        if (book.Find(token.Person) is not { Active: true } person)
        {
            return Refuse($"the person of token {token.Id} may not sign in");
        }

        var scopes = Roles.Split(token.Scopes);
        var rights = Roles.RightsOf(person.Roles).Where(right => scopes.Contains(right, StringComparer.Ordinal));
        var identity = new ClaimsIdentity(
            [new(PeopleSide.NameClaim, person.Id), .. rights.Select(right => new Claim(Rights.ClaimType, right))], Name, PeopleSide.NameClaim, roleType: null);
        return AuthenticateResult.Success(new(new(identity), Name));
    }

    private AuthenticateResult Refuse(string why)
    {
        Logger.TokenRefused(why);
        return AuthenticateResult.Fail(why);
    }
}
