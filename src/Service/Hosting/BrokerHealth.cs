using Microsoft.Extensions.Diagnostics.HealthChecks;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Hosting;

/// <summary>Healthy when packets can arrive.</summary>
internal sealed class BrokerHealth(IPacketSource source) : IHealthCheck
{
    /// <inheritdoc/>
    public Task<HealthCheckResult> CheckHealthAsync(HealthCheckContext context, CancellationToken cancellationToken = default) =>
        Task.FromResult(source.IsReady ? HealthCheckResult.Healthy() : HealthCheckResult.Unhealthy("No connection to the broker."));
}
