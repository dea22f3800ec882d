using Microsoft.Net.Http.Headers;

namespace Saltograph.Service.People;

/// <summary>
/// Lets no other site act through a browser that is signed in here: what changes something, and what opens a socket, has to come from a page of
/// this service. A program with a token sends no cookie and is not asked (ASVS 5.0 3.5.1, 4.4.2).
/// </summary>
internal sealed class SameSite(RequestDelegate next, ILogger<SameSite> log)
{
    /// <summary>Refuses, or goes on.</summary>
    public Task InvokeAsync(HttpContext context)
    {
        var request = context.Request;
        if ((ChangesSomething(request) || request.Headers.Upgrade.Count > 0) && !TokenScheme.IsIn(request) && IsForeign(request))
        {
            log.ForeignSiteRefused(context.GetEndpoint()?.DisplayName ?? "no route");
            context.Response.StatusCode = StatusCodes.Status403Forbidden;
            return Task.CompletedTask;
        }

        return next(context);
    }

    private static bool ChangesSomething(HttpRequest request) =>
        !HttpMethods.IsGet(request.Method) && !HttpMethods.IsHead(request.Method) && !HttpMethods.IsOptions(request.Method);

    // Browsers send Sec-Fetch-Site (Fetch Metadata) or Origin (RFC 6454) with these; who sends neither is no browser.
    private static bool IsForeign(HttpRequest request)
    {
        var site = request.Headers["Sec-Fetch-Site"].ToString();
        var origin = request.Headers[HeaderNames.Origin].ToString();
        return (site.Length > 0 && site is not ("same-origin" or "none"))
            || (origin.Length > 0 && !string.Equals(origin, $"{request.Scheme}://{request.Host}", StringComparison.OrdinalIgnoreCase));
    }
}
