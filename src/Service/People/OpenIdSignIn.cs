using System.Security.Claims;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.OpenIdConnect;
using Microsoft.IdentityModel.Protocols.OpenIdConnect;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.People;

/// <summary>Sign-in at a provider of OpenID Connect: code flow with PKCE. The provider says who it is; who may come in, and with which roles, is decided here.</summary>
internal static class OpenIdSignIn
{
    /// <summary>Name of the scheme.</summary>
    public const string Scheme = "open-id";

    /// <summary>Environment variable with the secret of this service at the provider.</summary>
    public const string SecretVariable = "SALTOGRAPH_OPENID_SECRET";

    /// <summary>Adds it.</summary>
    public static void Add(AuthenticationBuilder schemes, HttpOptions http, OpenIdOptions provider) => schemes.AddOpenIdConnect(Scheme, options =>
    {
        options.Authority = provider.Authority;
        options.ClientId = provider.ClientId;
        options.ClientSecret = Environment.GetEnvironmentVariable(SecretVariable);
        options.RequireHttpsMetadata = provider.Authority.StartsWith("https", StringComparison.Ordinal);
        options.ResponseType = OpenIdConnectResponseType.Code;
        options.UsePkce = true;
        options.MapInboundClaims = false;
        options.Scope.Clear();
        options.Scope.Add("openid"); // no name and no address: the subject is enough
        options.CallbackPath = "/account/open-id/back";
        var policy = PeopleSide.IsTls(http) ? CookieSecurePolicy.Always : CookieSecurePolicy.SameAsRequest;
        options.NonceCookie.SecurePolicy = policy;
        options.CorrelationCookie.SecurePolicy = policy;
        if (!PeopleSide.IsTls(http))
        {
            options.NonceCookie.SameSite = SameSiteMode.Lax;
            options.CorrelationCookie.SameSite = SameSiteMode.Lax;
            options.ResponseMode = OpenIdConnectResponseMode.Query; // a form post from there would lose such cookies
        }

        options.Events.OnTokenValidated = RequireSignatureAsync;
        options.Events.OnTicketReceived = ReceiveAsync; // only here everything is checked: the nonce is looked at after the event of the token
        options.Events.OnRemoteFailure = context =>
        {
            Log(context.HttpContext).SignInRefused("somebody of the provider", context.Failure?.Message ?? "no reason given");
            context.Response.Redirect($"{SessionCookie.SignInPage}?said=provider");
            context.HandleResponse();
            return Task.CompletedTask;
        };
    });

    // A token that comes straight from the provider need not be signed (OpenID Connect Core 1.0, 3.1.3.7, 6), and the handler then takes one that is not. All providers sign; who does not is none.
    private static Task RequireSignatureAsync(TokenValidatedContext context)
    {
        if (string.IsNullOrEmpty(context.SecurityToken.RawSignature))
        {
            context.Fail("the ID token is not signed");
        }

        return Task.CompletedTask;
    }

    private static async Task ReceiveAsync(TicketReceivedContext context)
    {
        var services = context.HttpContext.RequestServices;
        var subject = context.Principal?.FindFirstValue("sub");
        if (subject is null || services.GetRequiredService<PeopleBook>().OfSubject(subject) is not { Active: true } person)
        {
            Log(context.HttpContext).SignInRefused("a subject of the provider", "no active person has this subject");
            context.Response.Redirect($"{SessionCookie.SignInPage}?said=unknown");
            context.HandleResponse();
            return;
        }

        await SessionCookie.SignInAsync(context.HttpContext, person, services.GetRequiredService<TimeProvider>());
        Log(context.HttpContext).SignedIn(person.Id, "the provider");
        context.Response.Redirect(AccountEndpoints.Inside(context.ReturnUri));
        context.HandleResponse();
    }

    private static ILogger<SignInDesk> Log(HttpContext context) => context.RequestServices.GetRequiredService<ILogger<SignInDesk>>();
}
