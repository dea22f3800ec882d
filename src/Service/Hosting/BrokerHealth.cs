using Microsoft.Extensions.Diagnostics.HealthChecks;
using Saltograph.Service.Athletes;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Hosting;

/// <summary>Healthy when packets can arrive and are measured.</summary>
internal sealed class BrokerHealth(IPacketSource source, AthleteStreams athletes) : IHealthCheck
{
    /// <inheritdoc/>
    public Task<HealthCheckResult> CheckHealthAsync(HealthCheckContext context, CancellationToken cancellationToken = default) =>
        Task.FromResult(
            !source.IsReady ? HealthCheckResult.Unhealthy("No connection to the broker.")
            : !athletes.IsAlive ? HealthCheckResult.Unhealthy("The stream of packets ended with an error.")
            : HealthCheckResult.Healthy());
}
