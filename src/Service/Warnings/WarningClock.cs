using Saltograph.Service.Durability;

namespace Saltograph.Service.Warnings;

/// <summary>Lets the warnings' time pass, once a second.</summary>
internal sealed class WarningClock(WarningDesk desk, DurabilityState state, TimeProvider time) : BackgroundService
{
    private static readonly TimeSpan Interval = TimeSpan.FromSeconds(1);

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Interval, time);
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            await Persistently.DoAsync(
                "warnings",
                async () =>
                {
                    await desk.TickAsync(stoppingToken);
                    return true;
                },
                state,
                time,
                stoppingToken);
        }
    }
}
