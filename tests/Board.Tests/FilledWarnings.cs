using System.Globalization;
using System.Text.Json;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Board.Tests;

/// <summary>Warnings of the invented squad's trainings, all done with: raised, answered by staff or not, over. In the words of the rules.</summary>
internal static class FilledWarnings
{
    private const long SecondUs = 1_000_000;

    /// <summary>Adds those of one athlete's training.</summary>
    /// <param name="transaction">Into the store.</param>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="beginUs">When the training began, us since 1970.</param>
    /// <param name="lengthS">Its length, s.</param>
    /// <param name="jumps">How many jumps it had.</param>
    /// <param name="plan">How many were planned.</param>
    public static async Task AddAsync(StoreTransaction transaction, string athlete, long beginUs, double lengthS, int jumps, int plan)
    {
        var eachUs = (long)(lengthS * SecondUs / jumps);
        if (athlete == "distel")
        {
            await AddAsync(transaction, "hard-landings", athlete, "landing", "high", "right", beginUs + (23 * eachUs), "3 hard landings within 300 s, leg: right.", "Spoke with her; floor work for ten minutes");
        }

        if (jumps > plan)
        {
            await AddAsync(transaction, "plan", athlete, "overload", "medium", "jumps", beginUs + ((plan + 1) * eachUs), string.Create(CultureInfo.InvariantCulture, $"Jumps: {plan + 1}; limit {plan}."), "Last run-through, then stretching");
        }

        if (athlete == "birke" && jumps % 3 == 0)
        {
            await AddAsync(transaction, "sensor-battery", athlete, "sensor", "low", "birke-trunk", beginUs + eachUs, "Sensor birke-trunk, battery at 14 %; limit 15 %.", null);
        }
    }

    // Raised; acknowledged two minutes later where somebody gave a reason; over after ten minutes.
    private static async Task AddAsync(StoreTransaction transaction, string rule, string athlete, string channel, string priority, string subject, long raisedUs, string text, string? why)
    {
        var id = string.Create(CultureInfo.InvariantCulture, $"{rule}.{athlete}.{subject}.{raisedUs}");
        var changes = new List<(long AtUs, string State, string Cause, string? Who, string? Why)> { (raisedUs, "active-unacknowledged", "raised", null, null) };
        if (why is not null)
        {
            changes.Add((raisedUs + (120 * SecondUs), "acknowledged", "acknowledged", "coach-1", why));
        }

        changes.Add((raisedUs + (600 * SecondUs), "normal", "cleared", null, null));
        string Detail(int at) => JsonSerializer.Serialize(new
        {
            athlete,
            warning = id,
            number = at + 1,
            rule,
            subject,
            channel,
            priority,
            state = changes[at].State,
            stateBefore = at == 0 ? "normal" : changes[at - 1].State,
            cause = changes[at].Cause,
            time = Time(changes[at].AtUs),
            raised = Time(raisedUs),
            who = changes[at].Who,
            why = changes[at].Why,
            shelvedUntil = (string?)null,
            announce = at == 0,
            floodGroup = (string?)null,
            text,
            found = (double?)null,
            limit = (double?)null,
            jumps = Array.Empty<string>(),
        });
        await transaction.AddWarningAsync(new() { Id = id, Athlete = athlete, Rule = rule, Channel = channel, Priority = priority, State = "normal", Active = false, RaisedUs = raisedUs, ChangedUs = changes[^1].AtUs, Detail = Detail(changes.Count - 1) });
        for (var i = 0; i < changes.Count; i++)
        {
            var (atUs, state, _, who, reason) = changes[i];
            await transaction.AddWarningChangeAsync(new() { Warning = id, Number = i + 1, AtUs = atUs, State = state, Who = who, Why = reason, Detail = Detail(i) });
        }
    }

    private static string Time(long us) => DateTimeOffset.UnixEpoch.AddMicroseconds(us).ToString("yyyy-MM-dd'T'HH:mm:ss.ffffff'Z'", CultureInfo.InvariantCulture);
}
