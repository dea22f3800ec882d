using Saltograph.Service.Configuration;
using Saltograph.Store;
using Saltograph.Store.Recordings;

namespace Saltograph.Service.Durability;

/// <summary>Deletes recordings that are older than they may be, at the start and every hour.</summary>
internal sealed class Retention(HallConfiguration configuration, HallStore store, TimeProvider time, ILogger<Retention> log) : BackgroundService
{
    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (configuration.Service.Recordings.KeepDays == 0)
        {
            return; // kept for ever
        }

        using var timer = new PeriodicTimer(TimeSpan.FromHours(1), time);
        try
        {
            do
            {
                await DeleteAsync(stoppingToken);
            }
            while (await timer.WaitForNextTickAsync(stoppingToken));
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
        }
    }

    private async Task DeleteAsync(CancellationToken stop)
    {
        try
        {
            var open = (await store.Sessions.OpenRecordingsAsync(stop)).Select(row => (row.Athlete, row.OpenedUs)).ToHashSet();
            var before = time.GetUtcNow().AddDays(-configuration.Service.Recordings.KeepDays);
            var deleted = RecordingFiles.DeleteOld(configuration.Service.Recordings.Folder, before, open);
            if (deleted.Count > 0)
            {
                log.RecordingsDeleted(deleted.Count, configuration.Service.Recordings.KeepDays);
            }
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException or System.Data.Common.DbException)
        {
            log.RecordingsNotDeleted(problem);
        }
    }
}
