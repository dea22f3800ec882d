using System.Globalization;
using Saltograph.Imu;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Durability;

/// <summary>Writes facts into a transaction: what is new, what follows from it, and the events that tell it.</summary>
/// <param name="days">The hall's days.</param>
/// <param name="ledger">Totals known so far.</param>
/// <param name="messages">How facts are told; null: they are stored and not published.</param>
/// <param name="time">The clock.</param>
/// <param name="classes">Tells landings apart; null: they are not classified.</param>
/// <param name="consent">Whose facts may be kept; null: everybody's.</param>
internal sealed class FactWriter(HallDays days, DayLedger ledger, EventMessages? messages, TimeProvider time, LandingClasses? classes = null, Privacy.ConsentGate? consent = null)
{
    /// <summary>Writes a fact.</summary>
    /// <param name="transaction">Where to.</param>
    /// <param name="fact">The fact.</param>
    /// <param name="told">Gets what is new: the fact and what follows from it. Nothing when it is stored already.</param>
    /// <param name="isAgain">
    /// A transaction before this one may have been committed and only its answer lost: what is stored already is told too, with the same ids.
    /// </param>
    public async Task WriteAsync(StoreTransaction transaction, Fact fact, List<Fact> told, bool isAgain = false)
    {
        if (consent?.MayRecord(fact.Athlete) == false && fact is not RecordingEnded)
        {
            return; // withdrawn or erased while it was being measured
        }

        switch (fact)
        {
            case LandingMeasured landing:
                if (await transaction.AddLandingAsync(FactRows.Of(landing)) || isAgain)
                {
                    await TellAsync(transaction, landing, landing.EventId, told);
                }

                break;
            case JumpMeasured measured:
                var row = FactRows.Of(measured, days);
                var jump = measured with { LandingClass = classes?.Of(row), Apparatus = await transaction.ApparatusAtAsync(row.Athlete, row.LandingUs) };
                if (measured.Jump.Curves is { } curves)
                {
                    await transaction.AddCurvesAsync(measured.EventId, CurveBytes.Pack(curves)); // also of a jump that was stored when there were none
                }

                if (await transaction.AddJumpAsync(row with { LandingClass = jump.LandingClass }) || isAgain)
                {
                    await TellAsync(transaction, jump, jump.EventId, told);
                    var load = await LoadAsync(transaction, jump);
                    await TellAsync(transaction, load, load.EventId, told);
                }

                break;
            case SensorReported sensor:
                if (await transaction.AddSensorEventAsync(FactRows.Of(sensor)) || isAgain)
                {
                    told.Add(sensor);
                }

                break;
            case RecordingEnded ended:
                await transaction.CloseRecordingAsync(ended.Recording, ended.LastPacket.Microseconds);
                await transaction.CloseSessionAsync(ended.Recording, ended.LastPacket.Microseconds + 1, SessionRow.Activity);
                told.Add(ended);
                break;
            default:
                told.Add(fact);
                break;
        }
    }

    private async Task<LoadChanged> LoadAsync(StoreTransaction transaction, JumpMeasured jump)
    {
        // A late jump of an earlier day must not take today's totals back.
        var day = days.Of(jump.Jump.LandingTime);
        var known = ledger.Of(jump.Athlete)?.Day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        var shown = string.CompareOrdinal(known, day) > 0 ? known! : day;
        var totals = DayTotals.Of(await transaction.DayLoadAsync(jump.Athlete.Value, shown));
        return new(jump.Athlete, $"{jump.EventId}.load", jump.Jump.LandingTime, totals);
    }

    private async Task TellAsync(StoreTransaction transaction, Fact fact, string eventId, List<Fact> told)
    {
        told.Add(fact);
        if (messages?.Of(fact) is { } message)
        {
            await transaction.AddToOutboxAsync(FactRows.Of(message, eventId, HallClock.Now(time)));
        }
    }
}
