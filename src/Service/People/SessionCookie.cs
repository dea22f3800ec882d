using System.Globalization;
using System.Security.Claims;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Components.Endpoints;
using Saltograph.Board.Access;
using Saltograph.Service.Configuration;
using Saltograph.Store.Rows;

namespace Saltograph.Service.People;

/// <summary>The cookie of who signed in: a random key, sent back over TLS to this host only, out of reach of scripts and of other sites.</summary>
internal static class SessionCookie
{
    /// <summary>Where a page sends those who have to sign in.</summary>
    public const string SignInPage = "/sign-in";

    /// <summary>Sets it up.</summary>
    public static void Configure(CookieAuthenticationOptions options, SessionTickets tickets, PeopleBook book, HttpOptions http, PeopleOptions people)
    {
        var isTls = PeopleSide.IsTls(http);
        options.Cookie.Name = isTls ? "__Host-session" : "session";
        options.Cookie.SecurePolicy = isTls ? CookieSecurePolicy.Always : CookieSecurePolicy.SameAsRequest;
        options.Cookie.HttpOnly = true;
        options.Cookie.SameSite = SameSiteMode.Lax; // strict would ask those to sign in again who come by a link
        options.Cookie.Path = "/";
        options.SessionStore = tickets;
        options.ExpireTimeSpan = TimeSpan.FromMinutes(people.IdleMinutes);
        options.SlidingExpiration = true;
        options.LoginPath = SignInPage;
        options.ReturnUrlParameter = "to";
        options.Events.OnValidatePrincipal = context => ValidateAsync(context, tickets, book);
        options.Events.OnRedirectToLogin = context => Answer(context, StatusCodes.Status401Unauthorized);
        options.Events.OnRedirectToAccessDenied = context => Answer(context, StatusCodes.Status403Forbidden);
    }

    /// <summary>Begins a session.</summary>
    public static Task SignInAsync(HttpContext context, PersonRow person, TimeProvider time) => context.SignInAsync(
        CookieAuthenticationDefaults.AuthenticationScheme,
        Principal(person, SessionTickets.NewKey(), time.GetUtcNow().ToUnixTimeSeconds().ToString(CultureInfo.InvariantCulture)));

    private static ClaimsPrincipal Principal(PersonRow person, string session, string since) => new(new ClaimsIdentity(
        [
            new(PeopleSide.NameClaim, person.Id), new(PeopleSide.SessionClaim, session), new(PeopleSide.StampClaim, person.Stamp), new(PeopleSide.SinceClaim, since),
            .. Roles.RightsOf(person.Roles).Select(right => new Claim(Rights.ClaimType, right)),
        ],
        CookieAuthenticationDefaults.AuthenticationScheme,
        PeopleSide.NameClaim,
        roleType: null));

    // With each request: what the person may do now, not what it was at the sign-in.
    private static async Task ValidateAsync(CookieValidatePrincipalContext context, SessionTickets tickets, PeopleBook book)
    {
        var user = context.Principal!;
        var (name, session) = (user.FindFirstValue(PeopleSide.NameClaim), user.FindFirstValue(PeopleSide.SessionClaim));
        if (name is null || session is null || book.Find(name) is not { Active: true } person || !tickets.IsOpen(session, person.Stamp))
        {
            context.RejectPrincipal();
            await context.HttpContext.SignOutAsync(CookieAuthenticationDefaults.AuthenticationScheme);
        }
    }

    private static Task Answer(RedirectContext<CookieAuthenticationOptions> context, int status)
    {
        var isPage = HttpMethods.IsGet(context.Request.Method) && context.HttpContext.GetEndpoint()?.Metadata.GetMetadata<ComponentTypeMetadata>() is not null;
        if (status == StatusCodes.Status403Forbidden)
        {
            context.HttpContext.RequestServices.GetRequiredService<ILogger<SignInDesk>>().AccessRefused(
                context.HttpContext.User.FindFirstValue(PeopleSide.NameClaim) ?? PeopleSide.Nobody, context.HttpContext.GetEndpoint()?.DisplayName ?? "no route");
        }

        if (isPage && status == StatusCodes.Status401Unauthorized)
        {
            context.Response.Redirect(context.RedirectUri);
        }
        else
        {
            context.Response.StatusCode = status;
        }

        return Task.CompletedTask;
    }
}
