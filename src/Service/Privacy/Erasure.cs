using Saltograph.Board.Live;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Wire;

namespace Saltograph.Service.Privacy;

/// <summary>
/// Erases everything of an athlete: rows, recordings, name, key, what the broker keeps, what warnings know, what screens show. While she is on the roster her
/// consent stays as withdrawn under the pseudonym, so that nothing new begins; the audit trail keeps that somebody was erased, not who.
/// </summary>
internal sealed class Erasure(HallConfiguration configuration, HallStore store, PeopleBook book, IMessageOut broker, LiveFloor floor, Roster roster, AthleteKeys keys, WarningDesk warnings, TimeProvider time)
{
    /// <summary>Does it.</summary>
    /// <returns>Rows that were deleted.</returns>
    public async Task<long> EraseAsync(string who, string athlete, CancellationToken stop)
    {
        var nowUs = HallClock.Now(time).Microseconds;

        // First the gate, so that what is measured at this moment is not written behind it.
        await book.ChangeAsync(
            async transaction =>
            {
                await transaction.PutConsentAsync(new() { Athlete = athlete, Recording = false, Display = false, GivenBy = "herself", EnteredUs = nowUs, EnteredBy = who });
                return true;
            },
            stop);
        await warnings.ForgetAsync(new(athlete), stop);
        var keeps = roster.Athletes.Contains(new(athlete));
        var rows = await book.ChangeAsync(
            async transaction =>
            {
                var deleted = await transaction.EraseAsync(athlete, $"saltograph/v1/{configuration.Service.Hall}/athletes/{athlete}/", withConsent: !keeps);
                await transaction.AddAuditAsync(nowUs, who, "erase", null, $"{deleted} rows of one athlete");
                return deleted;
            },
            CancellationToken.None);
        keys.Forget(athlete);
        await store.ScrubAsync(CancellationToken.None);
        var folder = Path.Combine(configuration.Service.Recordings.Folder, athlete);
        if (Directory.Exists(folder))
        {
            Directory.Delete(folder, recursive: true);
        }

        foreach (var topic in Enum.GetValues<AthleteTopic>().Where(Topics.IsRetained))
        {
            await broker.SendAsync(new(Topics.Of(new HallId(configuration.Service.Hall), new AthleteId(athlete), topic), [], "", 1, Retain: true), stop);
        }

        floor.Forget(athlete);
        return rows;
    }
}
