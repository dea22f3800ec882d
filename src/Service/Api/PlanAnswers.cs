using System.Text.Json;
using Saltograph.Board.Access;
using Saltograph.Imu;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Rows;
using Saltograph.Wire;

namespace Saltograph.Service.Api;

/// <summary>A plan, or limits after an injury, of one athlete and day.</summary>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Day">Day of the hall.</param>
/// <param name="Kind"><c>plan</c> or <c>return-to-play</c>.</param>
/// <param name="Limits"><c>jumps</c>, <c>leftLandings</c>, <c>rightLandings</c> (counts), <c>heightM</c>, <c>shockG</c>; what is absent is not limited.</param>
/// <param name="Entered">When, RFC 3339.</param>
/// <param name="EnteredBy">By whom.</param>
internal sealed record PlanBody(string Athlete, string Day, string Kind, JsonElement Limits, string Entered, string EnteredBy);

/// <summary>Plans of some days.</summary>
/// <param name="Plans">By athlete, day and kind.</param>
internal sealed record PlansBody(IReadOnlyList<PlanBody> Plans);

/// <summary>A plan to be entered.</summary>
/// <param name="Limits"><c>jumps</c>, <c>leftLandings</c>, <c>rightLandings</c> (0 to 10000), <c>heightM</c> (0 to 2 m), <c>shockG</c> (1 to 400 g); what is absent is not limited.</param>
/// <param name="EnteredBy">Who enters it: 1 to 32 characters a-z, 0-9 or -.</param>
internal sealed record PlanEntry(JsonElement Limits, string EnteredBy);

/// <summary>Answers questions for plans, and takes new ones.</summary>
internal sealed class PlanAnswers(HallStore store, HallView seen, Onlooker onlooker, HallDays days, TimeProvider time)
{
    /// <summary>Plans of some days, both ends included.</summary>
    public async Task<PlansBody> OfDaysAsync(string? athlete, string firstDay, string lastDay, CancellationToken stop) =>
        new([.. (await seen.Plans.OfDaysAsync(athlete, firstDay, lastDay, stop)).Select(Body)]);

    /// <summary>Enters a plan; what was entered for the day and kind before is replaced. Refused as a whole when anything is wrong.</summary>
    public async Task<Answer<PlanBody>> PutAsync(string athlete, string day, string kind, PlanEntry entry, CancellationToken stop)
    {
        var faults = new List<ApiFault>();
        void Check(bool isAllowed, string where, string? found, string allowed)
        {
            if (!isAllowed)
            {
                faults.Add(new(where, found is null ? "nothing" : $"'{found}'", allowed));
            }
        }

        Check(IdText.IsValid(athlete), "athlete", athlete, IdText.Allowed);
        Check(QueryReader.IsDay(day), "day", day, QueryReader.AllowedDay);
        Check(kind is PlanRow.PlanKind or PlanRow.ReturnToPlayKind, "kind", kind, $"{PlanRow.PlanKind} or {PlanRow.ReturnToPlayKind}");
        Check(entry.EnteredBy is { } by && IdText.IsValid(by), "enteredBy", entry.EnteredBy, IdText.Allowed);
        Check(entry.Limits.ValueKind == JsonValueKind.Object, "limits", entry.Limits.ValueKind.ToString(), "an object");
        if (faults.Count == 0 && !await MayAsync(athlete, kind, stop))
        {
            faults.Add(new("athlete", $"'{athlete}'", "an athlete of yours, and a kind that you may enter"));
        }

        if (faults.Count > 0)
        {
            return new(null, faults);
        }

        if (LimitsText(entry) is not { } limits)
        {
            return new ApiFault("limits", "text that is not UTF-8", "JSON in UTF-8");
        }

        var row = new PlanRow
        {
            Athlete = athlete,
            Day = day,
            Kind = kind,
            Limits = limits,
            EnteredUs = HallClock.Now(time).Microseconds,
            EnteredBy = onlooker.Name ?? entry.EnteredBy,
        };
        if (DayPlans.Read(row, days, out _) is { } fault)
        {
            return new ApiFault(fault.Where == "limits" ? "limits" : $"limits.{JsonNamingPolicy.CamelCase.ConvertName(fault.Where)}", fault.Found, fault.Allowed);
        }

        await store.WriteAsync(
            async transaction =>
            {
                await transaction.AddAthleteAsync(athlete, row.EnteredUs);
                await transaction.PutPlanAsync(row);
                return true;
            },
            stop);
        return Body(row);
    }

    /// <summary>The limits as text; null when they are none: an element of JSON holds bytes that nobody has read yet.</summary>
    internal static string? LimitsText(PlanEntry entry)
    {
        try
        {
            return entry.Limits.GetRawText();
        }
        catch (InvalidOperationException)
        {
            return null;
        }
    }

    /// <summary>Takes a plan away; whether there was one.</summary>
    public async Task<bool> RemoveAsync(string athlete, string day, string kind, CancellationToken stop) =>
        await MayAsync(athlete, kind, stop) && await store.WriteAsync(transaction => transaction.RemovePlanAsync(athlete, day, kind), stop);

    private async Task<bool> MayAsync(string athlete, string kind, CancellationToken stop) =>
        onlooker.May(kind == PlanRow.ReturnToPlayKind ? Rights.ReturnToPlay : Rights.Plan) && await seen.SeesAsync(athlete, stop);

    private static PlanBody Body(PlanRow row) => new(row.Athlete, row.Day, row.Kind, JsonElement.Parse(row.Limits), Rfc3339.Text(new(row.EnteredUs)), row.EnteredBy);
}
