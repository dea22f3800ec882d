using Dapper;
using Saltograph.Store.Engines;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Queries;

/// <summary>Asks for people, consents, and who looked.</summary>
public sealed class PeopleQueries
{
    private readonly IStoreEngine _engine;

    internal PeopleQueries(IStoreEngine engine) => _engine = engine;

    /// <summary>Everybody, in order.</summary>
    public Task<IReadOnlyList<PersonRow>> AllAsync(CancellationToken stop = default) => ListAsync<PersonRow>("select * from people order by id", null, stop);

    /// <summary>All assignments, by person and athlete.</summary>
    public Task<IReadOnlyList<AssignmentRow>> AssignmentsAsync(CancellationToken stop = default) =>
        ListAsync<AssignmentRow>("select person, athlete from assignments order by person, athlete", null, stop);

    /// <summary>The link of a hash; null when there is none.</summary>
    public async Task<LinkRow?> LinkAsync(string hash, CancellationToken stop = default) =>
        await ListAsync<LinkRow>("select hash, person, expires_us from links where hash = @hash", new { hash }, stop) is [var link] ? link : null;

    /// <summary>All tokens, by person and age.</summary>
    public Task<IReadOnlyList<TokenRow>> TokensAsync(CancellationToken stop = default) => ListAsync<TokenRow>(
        "select id, hash, person, scopes, label, created_us, expires_us from tokens order by person, created_us, id", null, stop);

    /// <summary>All consents, by athlete.</summary>
    public Task<IReadOnlyList<ConsentRow>> ConsentsAsync(CancellationToken stop = default) => ListAsync<ConsentRow>("select * from consents order by athlete", null, stop);

    /// <summary>Who looked and changed, newest first.</summary>
    /// <param name="athlete">Pseudonym; null for all.</param>
    /// <param name="before">Number before which to go on; null for the newest.</param>
    /// <param name="limit">Most of them.</param>
    /// <param name="stop">Gives up.</param>
    public Task<IReadOnlyList<AuditRow>> AuditAsync(string? athlete, long? before, int limit, CancellationToken stop = default) => ListAsync<AuditRow>(
        $"""
        select number, at_us, who, did, athlete, detail from audit
        where {(athlete is null ? "1 = 1" : "athlete = @athlete")}{(before is null ? "" : " and number < @before")} order by number desc limit @limit
        """,
        new { athlete, before, limit },
        stop);

    /// <summary>The sealed name of an athlete; null when none was entered.</summary>
    public Task<string?> SealedNameAsync(string athlete, CancellationToken stop = default) => OneAsync("select sealed from names where athlete = @athlete", athlete, stop);

    /// <summary>The sealed key of an athlete's recordings; null when there is none.</summary>
    public Task<string?> SealedKeyAsync(string athlete, CancellationToken stop = default) => OneAsync("select sealed from athlete_keys where athlete = @athlete", athlete, stop);

    internal async Task<long> LastAuditAsync(CancellationToken stop)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return await connection.ExecuteScalarAsync<long>(new("select coalesce(max(number), 0) from audit", cancellationToken: stop));
    }

    private async Task<string?> OneAsync(string statement, string athlete, CancellationToken stop)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return await connection.QueryFirstOrDefaultAsync<string?>(new(statement, new { athlete }, cancellationToken: stop));
    }

    private async Task<IReadOnlyList<T>> ListAsync<T>(string statement, object? values, CancellationToken stop)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return (await connection.QueryAsync<T>(new(statement, values, cancellationToken: stop))).AsList();
    }
}
