using Saltograph.Load;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Warnings;

/// <summary>Writes changes of warnings into a transaction: the warning as it stands, its history, the event that tells it.</summary>
/// <param name="messages">How changes are told; null: they are stored and not published.</param>
/// <param name="time">The clock.</param>
/// <param name="consent">About whom warnings may be kept; null: everybody.</param>
internal sealed class WarningWriter(EventMessages? messages, TimeProvider time, Privacy.ConsentGate? consent = null)
{
    /// <summary>Writes a change.</summary>
    /// <returns>Whether it is new: one that is stored already is not told again.</returns>
    public async Task<bool> WriteAsync(StoreTransaction transaction, WarningChange change)
    {
        if (consent?.MayRecord(change.Athlete) == false)
        {
            return false;
        }

        var detail = WarningJson.Text(change);
        var isNew = await transaction.AddWarningChangeAsync(new()
        {
            Warning = change.WarningId,
            Number = change.Number,
            AtUs = change.Time.Microseconds,
            State = WarningJson.Word(change.To),
            Who = change.Who,
            Why = change.Why,
            Detail = detail,
        });
        if (!isNew)
        {
            return false;
        }

        var warning = new WarningRow
        {
            Id = change.WarningId,
            Athlete = change.Athlete.Value,
            Rule = change.Rule,
            Channel = WarningJson.Word(change.Channel),
            Priority = WarningJson.Word(change.Priority),
            State = WarningJson.Word(change.To),
            Active = change.To != WarningState.Normal,
            RaisedUs = change.RaisedTime.Microseconds,
            ChangedUs = change.Time.Microseconds,
            ShelvedUntilUs = change.ShelvedUntil?.Microseconds,
            Detail = detail,
        };
        if (!await transaction.AddWarningAsync(warning))
        {
            await transaction.PutWarningAsync(warning);
        }

        var fact = new WarningChanged(change.Athlete, change);
        if (messages?.Of(fact) is { } message)
        {
            await transaction.AddToOutboxAsync(FactRows.Of(message, fact.EventId, HallClock.Now(time)));
        }

        return true;
    }
}
