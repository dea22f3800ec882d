using System.Security.Claims;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Mvc;
using Saltograph.Board.Access;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.People;

/// <summary>What the forms of signing in, of signing out and of passwords post to. Each answers with a page to go to; each form carries its anti-forgery token.</summary>
internal static class AccountEndpoints
{
    private const string SetPasswordPage = "/set-password", AccountPage = "/account", PeoplePage = "/people";

    /// <summary>Adds them.</summary>
    public static void Map(WebApplication app, PeopleOptions people)
    {
        var account = app.MapGroup("/account");
        account.MapPost("/sign-in", SignInAsync).AllowAnonymous().RequireRateLimiting(PeopleSide.SignInLimit);
        account.MapPost("/set-password", SetPasswordAsync).AllowAnonymous().RequireRateLimiting(PeopleSide.SignInLimit);
        account.MapPost("/password", ChangePasswordAsync).RequireAuthorization(Rights.OwnAccount).RequireRateLimiting(PeopleSide.SignInLimit);
        account.MapPost("/sign-out", SignOutAsync).RequireAuthorization(Rights.OwnAccount);
        if (people.OpenId.Authority.Length > 0)
        {
            account.MapGet("/open-id", (string? to) => TypedResults.Challenge(new() { RedirectUri = Inside(to) }, [OpenIdSignIn.Scheme]))
                .AllowAnonymous().RequireRateLimiting(PeopleSide.SignInLimit);
        }
    }

    /// <summary>A place on this service; its beginning for every other address.</summary>
    public static string Inside(string? to) => to is ['/', ..] && (to.Length == 1 || to[1] is not ('/' or '\\')) && !to.Any(char.IsControl) ? to : "/";

    private static async Task<IResult> SignInAsync(
        [FromForm] string? name, [FromForm] string? password, [FromForm] string? to, HttpContext context, SignInDesk desk, TimeProvider time, CancellationToken stop)
    {
        if (await desk.CheckAsync(name ?? "", password ?? "", stop) is not { } person)
        {
            return TypedResults.LocalRedirect($"{SessionCookie.SignInPage}?said=wrong&to={Uri.EscapeDataString(Inside(to))}");
        }

        await SessionCookie.SignInAsync(context, person, time);
        return TypedResults.LocalRedirect(Inside(to) is var place && place != "/" || Roles.Have(person.Roles, Rights.Look) ? place
            : Roles.Have(person.Roles, Rights.Administer) ? PeoplePage : AccountPage);
    }

    private static async Task<IResult> SignOutAsync([FromForm(Name = "now")] string? _, HttpContext context, ILogger<SignInDesk> log)
    {
        log.SignedOut(context.User.FindFirstValue(PeopleSide.NameClaim) ?? PeopleSide.Nobody);
        await context.SignOutAsync(CookieAuthenticationDefaults.AuthenticationScheme);
        context.Response.Headers["Clear-Site-Data"] = "\"cache\"";
        return TypedResults.LocalRedirect($"{SessionCookie.SignInPage}?said=out");
    }

    private static async Task<IResult> SetPasswordAsync([FromForm] string? code, [FromForm] string? password, [FromForm] string? again, SignInDesk desk, CancellationToken stop) =>
        password != again ? TypedResults.LocalRedirect($"{SetPasswordPage}?said=differ")
        : await desk.UseLinkAsync((code ?? "").Trim(), password ?? "", stop) is [var fault, ..] ? TypedResults.LocalRedirect($"{SetPasswordPage}?said={Word(fault)}")
        : TypedResults.LocalRedirect($"{SessionCookie.SignInPage}?said=set");

    private static async Task<IResult> ChangePasswordAsync(
        [FromForm] string? old, [FromForm] string? password, [FromForm] string? again, HttpContext context, SignInDesk desk, CancellationToken stop)
    {
        if (password != again)
        {
            return TypedResults.LocalRedirect($"{AccountPage}?said=differ");
        }

        var name = context.User.FindFirstValue(PeopleSide.NameClaim) ?? "";
        if (await desk.ChangeAsync(name, old ?? "", password ?? "", stop) is [var fault, ..])
        {
            return TypedResults.LocalRedirect($"{AccountPage}?said={Word(fault)}");
        }

        await context.SignOutAsync(CookieAuthenticationDefaults.AuthenticationScheme);
        return TypedResults.LocalRedirect($"{SessionCookie.SignInPage}?said=set");
    }

    // Pages say it in their own words.
    private static string Word(string fault) =>
        fault.StartsWith("The link", StringComparison.Ordinal) ? "link" : fault.StartsWith("The old", StringComparison.Ordinal) ? "old-wrong" : "weak";
}
