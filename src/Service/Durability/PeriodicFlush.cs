using Saltograph.Service.Configuration;

namespace Saltograph.Service.Durability;

/// <summary>Puts recordings on the disk at intervals, where not each write does.</summary>
internal sealed class PeriodicFlush(HallConfiguration configuration, SessionArchive archive, TimeProvider time) : BackgroundService
{
    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (configuration.Service.Recordings.FlushIntervalS == 0)
        {
            return;
        }

        using var timer = new PeriodicTimer(TimeSpan.FromSeconds(configuration.Service.Recordings.FlushIntervalS), time);
        try
        {
            while (await timer.WaitForNextTickAsync(stoppingToken))
            {
                archive.Flush();
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // The sessions flush themselves when they end.
        }
    }
}
