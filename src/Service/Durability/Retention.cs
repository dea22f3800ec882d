using Saltograph.Service.Configuration;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Recordings;

namespace Saltograph.Service.Durability;

/// <summary>Deletes recordings and rows that are older than their kind may be, at the start and every hour.</summary>
internal sealed class Retention(HallConfiguration configuration, HallStore store, TimeProvider time, ILogger<Retention> log) : BackgroundService
{
    // What the warnings give themselves again after a restart, and a day to be sure.
    private const int InputsDays = (int)LandingClasses.RecallDays + 1;

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(TimeSpan.FromHours(1), time);
        try
        {
            do
            {
                await DeleteAsync(stoppingToken);
                await DeleteRowsAsync(stoppingToken);
            }
            while (await timer.WaitForNextTickAsync(stoppingToken));
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
        }
    }

    private async Task DeleteAsync(CancellationToken stop)
    {
        if (configuration.Service.Recordings.KeepDays == 0)
        {
            return; // kept for ever
        }

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

    // Each kind in a transaction of its own: the measuring waits for none of them long.
    private async Task DeleteRowsAsync(CancellationToken stop)
    {
        var keep = configuration.Service.Retention;
        try
        {
            var deleted = await BeforeAsync(keep.JumpsDays, (transaction, before) => transaction.DeleteJumpsBeforeAsync(before), stop)
                + await BeforeAsync(keep.SensorEventsDays, (transaction, before) => transaction.DeleteSensorEventsBeforeAsync(before), stop)
                + await BeforeAsync(keep.WarningsDays, (transaction, before) => transaction.DeleteWarningsBeforeAsync(before), stop)
                + await BeforeAsync(InputsDays, (transaction, before) => transaction.DeleteWarningInputsBeforeAsync(before, DeskInput.LastingKinds), stop)
                + await BeforeAsync(keep.TrainingsDays, (transaction, before) => transaction.DeleteTrainingsBeforeAsync(before, DateTimeOffset.UnixEpoch.AddMicroseconds(before).ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture)), stop)
                + await BeforeAsync(keep.AuditDays, (transaction, before) => transaction.DeleteAuditBeforeAsync(before), stop);
            if (deleted > 0)
            {
                log.RowsDeleted(deleted);
            }
        }
        catch (System.Data.Common.DbException problem)
        {
            log.RowsNotDeleted(problem);
        }
    }

    private async Task<long> BeforeAsync(int days, Func<StoreTransaction, long, Task<long>> delete, CancellationToken stop)
    {
        var before = Ingest.HallClock.Of(time.GetUtcNow().AddDays(-days)).Microseconds;
        return days == 0 ? 0 : await store.WriteAsync(transaction => delete(transaction, before), stop);
    }
}
