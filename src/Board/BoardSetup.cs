using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Saltograph.Board.Live;
using Saltograph.Board.Shell;
using Saltograph.Board.Text;

namespace Saltograph.Board;

/// <summary>The pages as a part of a web program.</summary>
public static class BoardSetup
{
    // Own scripts and styles only; the socket of a live page goes back to where the page came from. Drawings carry style attributes.
    private const string ContentPolicy =
        "default-src 'self'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; connect-src 'self'; base-uri 'self'; form-action 'self'";

    /// <summary>Registers what the pages need; the caller registers the store, the clock and the warning desk.</summary>
    /// <param name="services">Where to.</param>
    /// <param name="zone">The hall's zone.</param>
    /// <param name="roster">Who wears what.</param>
    public static IServiceCollection AddBoard(this IServiceCollection services, TimeZoneInfo zone, IReadOnlyList<WornSensors> roster)
    {
        services.AddRazorComponents().AddInteractiveServerComponents();
        services.AddHttpContextAccessor();
        services.AddSingleton(new Words());
        services.AddSingleton(provider => new HallTime(zone, provider.GetRequiredService<TimeProvider>()));
        services.AddSingleton(provider => new LiveFloor(provider.GetRequiredService<TimeProvider>(), roster));
        services.AddHostedService<FloorClock>();
        return services;
    }

    /// <summary>Maps the pages and their files.</summary>
    /// <param name="app">The program.</param>
    /// <param name="assets">List of static files that the build made; null when it is the program's own.</param>
    public static void MapBoard(this WebApplication app, string? assets = null)
    {
        app.Use(async (context, next) =>
        {
            var headers = context.Response.Headers;
            headers.ContentSecurityPolicy = ContentPolicy;
            headers.XContentTypeOptions = "nosniff";
            headers["Referrer-Policy"] = "same-origin";
            await next(context);
        });
        app.UseAntiforgery();
        app.MapStaticAssets(assets);

        // Asked by pages that lost their socket. A service that is finishing is already gone: to load a page from it would end at nothing.
        app.MapGet("/board/here", (IHostApplicationLifetime life) =>
            life.ApplicationStopping.IsCancellationRequested ? Results.StatusCode(StatusCodes.Status503ServiceUnavailable) : Results.NoContent());
        app.MapRazorComponents<App>().AddInteractiveServerRenderMode(options => options.ContentSecurityFrameAncestorsPolicy = "'none'");
    }
}
