using System.Security.Claims;
using Microsoft.AspNetCore.Components.Authorization;
using Microsoft.AspNetCore.Components.Server.Circuits;
using Saltograph.Board.Access;
using Saltograph.Service.Configuration;
using Saltograph.Store;

namespace Saltograph.Service.People;

/// <summary>Who asks, of one request or one live page. Nobody, who sees nothing, until it is told.</summary>
internal sealed class Onlooker(PeopleBook book, SessionTickets sessions, ServiceOptions options) : IOnlooker
{
    private readonly bool _consentAssumed = options.People.ConsentAssumed;
    private ClaimsPrincipal _user = new();

    /// <inheritdoc/>
    public string? Name => IsEverybody || _user.Identity?.IsAuthenticated != true ? null : _user.FindFirstValue(PeopleSide.NameClaim);

    /// <summary>How the audit trail calls who asks.</summary>
    public string Called => Name ?? PeopleSide.Nobody;

    /// <summary>Whether this is a service where nobody signs in.</summary>
    public bool IsEverybody => options.People.Anonymous && _user.HasClaim(PeopleSide.EverybodyClaim, "true");

    /// <summary>Whose rows the store gives to who asks.</summary>
    public Sight Sight => IsEverybody ? Sight.OfEverybody(_consentAssumed) : Sight.Of(() => Present ?? "", _consentAssumed);

    /// <inheritdoc/>
    public bool Sees(string athlete) =>
        (IsEverybody || (Present is { } person && book.IsAssigned(person, athlete))) && (book.Consent(athlete)?.Display ?? _consentAssumed);

    /// <inheritdoc/>
    public bool May(string right) => IsEverybody || (Present is { } person && _user.Has(right) && Roles.Have(book.Find(person)!.Roles, right));

    /// <summary>Tells who it is.</summary>
    public void Is(ClaimsPrincipal user) => _user = user;

    // A live page outlives its request: whether the person is still signed in is asked each time.
    private string? Present =>
        Name is { } name && book.Find(name) is { Active: true } person
        && (_user.FindFirstValue(PeopleSide.SessionClaim) is not { } session || sessions.IsOpen(session, person.Stamp)) ? name : null;

    /// <summary>Tells a live page's onlooker who opened it.</summary>
    internal sealed class OfCircuit(Onlooker onlooker, AuthenticationStateProvider state) : CircuitHandler
    {
        /// <inheritdoc/>
        public override async Task OnCircuitOpenedAsync(Circuit circuit, CancellationToken cancellationToken) =>
            onlooker.Is((await state.GetAuthenticationStateAsync()).User);
    }
}
