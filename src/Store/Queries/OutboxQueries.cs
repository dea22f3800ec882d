using Dapper;
using Saltograph.Store.Engines;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Queries;

/// <summary>Asks for events that the broker has still to confirm.</summary>
public sealed class OutboxQueries
{
    private readonly IStoreEngine _engine;

    internal OutboxQueries(IStoreEngine engine) => _engine = engine;

    /// <summary>The next events behind a number, in order.</summary>
    /// <param name="number">0 for the first.</param>
    /// <param name="limit">Most of them.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<IReadOnlyList<OutboxRow>> AfterAsync(long number, int limit, CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return (await connection.QueryAsync<OutboxRow>(new(
            "select * from outbox where number > @number order by number limit @limit", new { number, limit }, cancellationToken: stop))).AsList();
    }

    /// <summary>How many wait.</summary>
    public async Task<long> CountAsync(CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return await connection.ExecuteScalarAsync<long>(new("select count(*) from outbox", cancellationToken: stop));
    }

    internal async Task<long> LastNumberAsync(CancellationToken stop)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return await connection.ExecuteScalarAsync<long>(new("select coalesce(max(number), 0) from outbox", cancellationToken: stop));
    }
}
