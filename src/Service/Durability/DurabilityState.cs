using System.Collections.Concurrent;
using Microsoft.Extensions.Diagnostics.HealthChecks;

namespace Saltograph.Service.Durability;

/// <summary>What cannot be written at present: the health page shows it, and the log tells begin and end once each.</summary>
internal sealed class DurabilityState(ILogger<DurabilityState> log) : IHealthCheck
{
    private readonly ConcurrentDictionary<string, string> _faults = new(StringComparer.Ordinal);

    /// <summary>Whether everything can be written.</summary>
    public bool IsSound => _faults.IsEmpty;

    /// <summary>Something could not be written; it is tried again.</summary>
    public void Failed(string what, Exception problem)
    {
        if (_faults.TryAdd(what, problem.Message))
        {
            log.CannotWrite(problem, what);
        }
    }

    /// <summary>It could be written.</summary>
    public void Succeeded(string what)
    {
        if (!_faults.IsEmpty && _faults.TryRemove(what, out _))
        {
            log.CanWriteAgain(what);
        }
    }

    /// <inheritdoc/>
    public Task<HealthCheckResult> CheckHealthAsync(HealthCheckContext context, CancellationToken cancellationToken = default) => Task.FromResult(IsSound
        ? HealthCheckResult.Healthy()
        : HealthCheckResult.Degraded(string.Join("; ", _faults.Select(fault => $"{fault.Key}: {fault.Value}"))));
}
