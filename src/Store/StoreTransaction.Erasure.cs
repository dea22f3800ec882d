using Dapper;

namespace Saltograph.Store;

/// <summary>What a transaction takes away for good: an athlete, and what is older than it may be.</summary>
public sealed partial class StoreTransaction
{
    private static readonly string[] OfAthlete =
    [
        "delete from jump_curves where id in (select id from jumps where athlete = @athlete)",
        "delete from jump_records where id in (select id from jumps where athlete = @athlete)",
        "delete from warning_changes where warning in (select id from warnings where athlete = @athlete)",
        .. new[]
        {
            "jumps", "landings", "sensor_events", "plans", "warnings", "warning_inputs", "sessions", "recordings", "assignments", "names", "athlete_keys",
        }.Select(table => $"delete from {table} where athlete = @athlete"),
        "delete from outbox where substr(topic, 1, @length) = @topics",
        "delete from athletes where id = @athlete",
    ];

    /// <summary>Deletes everything of an athlete. Of the audit trail it takes what would tell who she was.</summary>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="topics">Beginning of the topics that tell of her.</param>
    /// <param name="withConsent">Whether the consent goes too; false keeps what forbids to begin anew.</param>
    /// <returns>Rows that were deleted.</returns>
    public async Task<long> EraseAsync(string athlete, string topics, bool withConsent)
    {
        ArgumentNullException.ThrowIfNull(topics);
        var values = new { athlete, topics, length = topics.Length };
        var deleted = 0L;
        foreach (var statement in OfAthlete)
        {
            deleted += await ExecuteAsync(statement, values);
        }

        // Ids of events and addresses begin with the pseudonym: what looks like it goes, and now and then a detail of somebody with a longer one.
        await ExecuteAsync("update audit set athlete = null, detail = null where athlete = @athlete or detail like @like", new { athlete, like = $"%{athlete}%" });
        return deleted + (withConsent ? await ExecuteAsync("delete from consents where athlete = @athlete", values) : 0);
    }

    /// <summary>Deletes jumps and landings before a time.</summary>
    /// <returns>Rows that were deleted.</returns>
    public async Task<long> DeleteJumpsBeforeAsync(long beforeUs)
    {
        const string Old = "(select id from jumps where landing_us < @beforeUs)";
        return await ExecuteAsync($"delete from jump_curves where id in {Old}", new { beforeUs })
            + await ExecuteAsync($"delete from jump_records where id in {Old}", new { beforeUs })
            + await ExecuteAsync("delete from jumps where landing_us < @beforeUs", new { beforeUs })
            + await ExecuteAsync("delete from landings where landing_us < @beforeUs", new { beforeUs });
    }

    /// <summary>Deletes what was told about sensors before a time.</summary>
    public async Task<long> DeleteSensorEventsBeforeAsync(long beforeUs) => await ExecuteAsync("delete from sensor_events where at_us < @beforeUs", new { beforeUs });

    /// <summary>Deletes warnings that ended before a time, with their history.</summary>
    public async Task<long> DeleteWarningsBeforeAsync(long beforeUs) =>
        await ExecuteAsync("delete from warning_changes where warning in (select id from warnings where active = 0 and changed_us < @beforeUs)", new { beforeUs })
        + await ExecuteAsync("delete from warnings where active = 0 and changed_us < @beforeUs", new { beforeUs });

    /// <summary>Deletes what warnings were judged by before a time, but for lasting kinds and the newest, whose number goes on.</summary>
    /// <param name="beforeUs">The time.</param>
    /// <param name="lasting">Kinds that count until they are taken back.</param>
    public async Task<long> DeleteWarningInputsBeforeAsync(long beforeUs, IReadOnlyList<string> lasting) => await ExecuteAsync(
        $"delete from warning_inputs where at_us < @beforeUs and number < (select max(number) from warning_inputs) and kind not in ({string.Join(", ", lasting.Select((_, i) => $"@kind{i}"))})",
        new DynamicParameters(lasting.Select((kind, i) => KeyValuePair.Create($"kind{i}", (object)kind)).Append(KeyValuePair.Create("beforeUs", (object)beforeUs))));

    /// <summary>Deletes trainings that were closed before a time, and plans of days before a day.</summary>
    public async Task<long> DeleteTrainingsBeforeAsync(long beforeUs, string beforeDay) =>
        await ExecuteAsync("delete from sessions where closed_us < @beforeUs", new { beforeUs }) + await ExecuteAsync("delete from plans where day < @beforeDay", new { beforeDay });

    /// <summary>Deletes the audit trail before a time.</summary>
    public async Task<long> DeleteAuditBeforeAsync(long beforeUs) => await ExecuteAsync("delete from audit where at_us < @beforeUs", new { beforeUs });
}
