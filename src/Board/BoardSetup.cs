using System.Net.Mime;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Saltograph.Board.Access;
using Saltograph.Board.Live;
using Saltograph.Board.Shell;
using Saltograph.Board.Text;

namespace Saltograph.Board;

/// <summary>The pages as a part of a web program.</summary>
public static class BoardSetup
{
    // Own scripts and styles only; the socket of a live page goes back to where the page came from. Drawings carry style attributes.
    private const string ContentPolicy =
        "default-src 'self'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; connect-src 'self'; object-src 'none'; base-uri 'self'; form-action 'self'; frame-ancestors 'none'";

    /// <summary>Registers what the pages need; the caller registers the store, the clock and the warning desk.</summary>
    /// <param name="services">Where to.</param>
    /// <param name="zone">The hall's zone.</param>
    /// <param name="roster">Who wears what.</param>
    /// <param name="bands">Bands of splits.</param>
    public static IServiceCollection AddBoard(this IServiceCollection services, TimeZoneInfo zone, IReadOnlyList<WornSensors> roster, SplitBands bands)
    {
        services.AddSingleton(bands);
        services.AddRazorComponents().AddInteractiveServerComponents();
        services.AddHttpContextAccessor();
        services.AddSingleton(new Words());
        services.AddSingleton(provider => new HallTime(zone, provider.GetRequiredService<TimeProvider>()));
        services.AddSingleton(provider => new LiveFloor(provider.GetRequiredService<TimeProvider>(), roster));
        services.AddHostedService<FloorClock>();
        return services;
    }

    /// <summary>Headers of every answer; goes before everything else.</summary>
    public static void UseBoard(this WebApplication app) => app.Use(async (context, next) =>
    {
        var headers = context.Response.Headers;
        headers.ContentSecurityPolicy = ContentPolicy;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers.CacheControl = "no-store"; // files that may be kept say so themselves
        await next(context);
    });

    /// <summary>A page in place of one that is not there, is not for who asks, or could not be made; programs and files get what they asked for. Goes before what may refuse a request.</summary>
    /// <remarks>In a scope of its own: what has begun to draw a page cannot begin another.</remarks>
    public static void UseBoardFaults(this WebApplication app) => app.UseWhen(IsForReading, pages =>
    {
        pages.UseExceptionHandler(new ExceptionHandlerOptions { ExceptionHandlingPath = "/went-wrong/500", CreateScopeForErrors = true });
        pages.UseStatusCodePagesWithReExecute("/went-wrong/{0}", createScopeForStatusCodePages: true);
    });

    private static bool IsForReading(HttpContext context) =>
        HttpMethods.IsGet(context.Request.Method) && !context.Request.Path.StartsWithSegments("/api", StringComparison.Ordinal)
        && context.Request.Headers.Accept.Any(kinds => kinds?.Contains(MediaTypeNames.Text.Html, StringComparison.OrdinalIgnoreCase) == true);

    /// <summary>Maps the pages and their files.</summary>
    /// <param name="app">The program.</param>
    /// <param name="assets">List of static files that the build made; null when it is the program's own.</param>
    public static void MapBoard(this WebApplication app, string? assets = null)
    {
        app.MapStaticAssets(assets).AllowAnonymous(); // nothing in them is about anybody

        // Asked by pages that lost their socket. A service that is finishing is already gone: to load a page from it would end at nothing.
        app.MapGet("/board/here", (IHostApplicationLifetime life) =>
            life.ApplicationStopping.IsCancellationRequested ? Results.StatusCode(StatusCodes.Status503ServiceUnavailable) : Results.NoContent()).AllowAnonymous();
        app.MapRazorComponents<App>().AddInteractiveServerRenderMode(options => options.ContentSecurityFrameAncestorsPolicy = "'none'").Add(Guard);
    }

    // Pages say their right themselves. What the framework adds does not: the socket is of pages of those who may look, a redirection tells nothing.
    private static void Guard(EndpointBuilder endpoint)
    {
        if (endpoint is RouteEndpointBuilder { RoutePattern.RawText: { } route })
        {
            if (route.TrimStart('/').StartsWith("_blazor", StringComparison.Ordinal))
            {
                endpoint.Metadata.Add(new AuthorizeAttribute(Rights.Look));
            }
            else if (route.TrimStart('/').StartsWith("_framework/", StringComparison.Ordinal))
            {
                endpoint.Metadata.Add(new AllowAnonymousAttribute());
            }
        }
    }
}
