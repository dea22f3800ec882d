using Microsoft.AspNetCore.Diagnostics.HealthChecks;
using Saltograph.Board.Access;
using Saltograph.Service.Api;
using Saltograph.Service.Configuration;
using Saltograph.Service.People;

namespace Saltograph.Service.Hosting;

/// <summary>What the service answers over HTTP.</summary>
internal static class HallEndpoints
{
    /// <summary>Adds the endpoints.</summary>
    public static void Map(WebApplication app, ServiceOptions options)
    {
        // Alive as long as it answers at all; ready when packets can arrive and events can leave.
        app.MapHealthChecks("/health/live", new HealthCheckOptions { Predicate = _ => false }).AllowAnonymous();
        app.MapHealthChecks("/health/ready").AllowAnonymous();
        app.MapPrometheusScrapingEndpoint("/metrics").RequireAuthorization(Rights.Metrics);
        ApiEndpoints.Map(app);
        AccountEndpoints.Map(app, options.People);
    }
}
