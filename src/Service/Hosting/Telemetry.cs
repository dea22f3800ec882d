using OpenTelemetry;
using OpenTelemetry.Metrics;
using OpenTelemetry.Trace;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.Hosting;

/// <summary>What the service tells about itself: metrics to be read, traces when somebody wants them.</summary>
internal static class Telemetry
{
    // About the promises: 0.15 s for a landing, 1 s for a jump.
    private static readonly double[] LatencyBordersS = [0.02, 0.05, 0.1, 0.15, 0.25, 0.5, 0.75, 1, 1.5, 2.5, 5, 10, 60];

    /// <summary>Registers it.</summary>
    public static void Add(IServiceCollection services, ServiceOptions options)
    {
        var telemetry = services.AddOpenTelemetry().WithMetrics(metrics => metrics
            .AddMeter(ServiceMetrics.MeterName)
            .AddMeter("System.Runtime")
            .AddView("saltograph.event.latency", new ExplicitBucketHistogramConfiguration { Boundaries = LatencyBordersS })
            .AddPrometheusExporter());
        if (options.Telemetry.TracesTo.Length > 0)
        {
            telemetry.WithTracing(traces => traces.AddSource(Traces.SourceName).AddOtlpExporter(exporter => exporter.Endpoint = new Uri(options.Telemetry.TracesTo)));
        }
    }
}
