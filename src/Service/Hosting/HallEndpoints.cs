using System.Net.Mime;
using System.Text.Json;
using Microsoft.AspNetCore.Diagnostics.HealthChecks;
using Saltograph.Service.Api;
using Saltograph.Service.Facts;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Hosting;

/// <summary>What the service answers over HTTP.</summary>
internal static class HallEndpoints
{
    /// <summary>Adds the endpoints.</summary>
    public static void Map(WebApplication app)
    {
        // Alive as long as it answers at all; ready when packets can arrive and events can leave.
        app.MapHealthChecks("/health/live", new HealthCheckOptions { Predicate = _ => false });
        app.MapHealthChecks("/health/ready");
        app.MapPrometheusScrapingEndpoint("/metrics");
        ApiEndpoints.Map(app);
        app.MapGet("/jumps", WriteJumpsAsync);
    }

    private static async Task WriteJumpsAsync(HttpContext context, LatestJumps jumps)
    {
        context.Response.ContentType = MediaTypeNames.Application.Json;
        await using var json = new Utf8JsonWriter(context.Response.BodyWriter);
        json.WriteStartObject();
        json.WriteString("caution", Cautions.Line);
        json.WritePropertyName("jumps");
        jumps.Write(json);
        json.WriteEndObject();
        await json.FlushAsync(context.RequestAborted);
    }
}
