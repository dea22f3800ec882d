using System.Security.Claims;
using System.Text.Encodings.Web;
using Microsoft.AspNetCore.Authentication;
using Microsoft.Extensions.Options;
using Saltograph.Board.Access;

namespace Saltograph.Service.People;

/// <summary>Where <c>people.anonymous</c> is set, on a loopback address only: whoever reaches the port has every right. For the demo and for tests.</summary>
internal sealed class EverybodyScheme(IOptionsMonitor<AuthenticationSchemeOptions> options, ILoggerFactory log, UrlEncoder encoder)
    : AuthenticationHandler<AuthenticationSchemeOptions>(options, log, encoder)
{
    /// <summary>Name of the scheme.</summary>
    public const string Name = "everybody";

    private static readonly ClaimsPrincipal Everybody = new(new ClaimsIdentity(
        [new(PeopleSide.EverybodyClaim, "true"), .. Rights.All.Select(right => new Claim(Rights.ClaimType, right))], Name));

    /// <inheritdoc/>
    protected override Task<AuthenticateResult> HandleAuthenticateAsync() => Task.FromResult(AuthenticateResult.Success(new(Everybody, Name)));
}
