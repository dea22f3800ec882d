using System.Reactive.Linq;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Warnings;

/// <summary>Gives the battery that sensors tell in their state to the warnings.</summary>
internal sealed class BatteryReports(SensorInbox inbox, WarningDesk desk) : IHostedService, IDisposable
{
    private IDisposable? _states;

    /// <inheritdoc/>
    public Task StartAsync(CancellationToken cancellationToken)
    {
        _states = inbox.States
            .Where(told => told.State.BatteryPercent is not null)
            .Select(told => Observable.FromAsync(stop => desk.BatteryAsync(told.Sensor, told.State.BatteryPercent!.Value, stop)))
            .Concat()
            .Subscribe();
        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public Task StopAsync(CancellationToken cancellationToken)
    {
        Dispose();
        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public void Dispose() => _states?.Dispose();
}
