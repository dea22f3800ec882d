using Dapper;
using Saltograph.Store.Engines;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Queries;

/// <summary>Asks for warnings.</summary>
public sealed class WarningQueries
{
    private readonly IStoreEngine _engine;
    private readonly Sight _sight;

    internal WarningQueries(IStoreEngine engine, Sight sight) => (_engine, _sight) = (engine, sight);

    /// <summary>Warnings that somebody has still to do something with, oldest first.</summary>
    /// <param name="athlete">Pseudonym; null for all.</param>
    /// <param name="stop">Gives up.</param>
    public Task<IReadOnlyList<WarningRow>> ActiveAsync(string? athlete = null, CancellationToken stop = default) => ListAsync<WarningRow>(
        $"select * from warnings where active = 1{(athlete is null ? "" : " and athlete = @athlete")}{_sight.And()} order by raised_us, id", new { athlete, seer = _sight.Seer }, stop);

    /// <summary>Warnings raised in a stretch of time, newest first.</summary>
    /// <param name="athlete">Pseudonym; null for all.</param>
    /// <param name="fromUs">Begin, us since 1970.</param>
    /// <param name="beforeUs">End, us since 1970.</param>
    /// <param name="limit">Most of them; default 1000.</param>
    /// <param name="stop">Gives up.</param>
    public Task<IReadOnlyList<WarningRow>> RaisedAsync(string? athlete, long fromUs, long beforeUs, int limit = 1000, CancellationToken stop = default) => ListAsync<WarningRow>(
        $"""
        select * from warnings where {(athlete is null ? "" : "athlete = @athlete and ")}raised_us >= @fromUs and raised_us < @beforeUs{_sight.And()}
        order by raised_us desc, id desc limit @limit
        """,
        new { athlete, fromUs, beforeUs, limit, seer = _sight.Seer },
        stop);

    /// <summary>One warning; null when there is none.</summary>
    public async Task<WarningRow?> FindAsync(string id, CancellationToken stop = default) =>
        await ListAsync<WarningRow>("select * from warnings where id = @id" + _sight.And(), new { id, seer = _sight.Seer }, stop) is [var found] ? found : null;

    /// <summary>The history of a warning, oldest change first.</summary>
    public Task<IReadOnlyList<WarningChangeRow>> HistoryAsync(string warning, CancellationToken stop = default) =>
        ListAsync<WarningChangeRow>(
        $"select * from warning_changes where warning = @warning and warning in (select id from warnings where id = @warning{_sight.And()}) order by number",
        new { warning, seer = _sight.Seer },
        stop);

    /// <summary>What warnings were judged by from a time on, and before it what is of the lasting kinds, in order.</summary>
    /// <param name="fromUs">Begin, us since 1970.</param>
    /// <param name="lastingKinds">Kinds that are wanted whatever their age.</param>
    /// <param name="stop">Gives up.</param>
    public Task<IReadOnlyList<WarningInputRow>> InputsAsync(long fromUs, IReadOnlyList<string> lastingKinds, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(lastingKinds);

        // One parameter a kind: a list as one parameter means different things to the two engines.
        var values = new DynamicParameters(new { fromUs, seer = _sight.Seer });
        var conditions = "at_us >= @fromUs";
        for (var i = 0; i < lastingKinds.Count; i++)
        {
            values.Add($"kind{i}", lastingKinds[i]);
            conditions += $" or kind = @kind{i}";
        }

        return ListAsync<WarningInputRow>($"select * from warning_inputs where ({conditions}){_sight.And()} order by number", values, stop);
    }

    /// <summary>Number of the last input and the time reached by inputs and changes, us since 1970; zeros when there is nothing.</summary>
    public async Task<(long Number, long ReachedUs)> ReachedAsync(CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        var number = await connection.ExecuteScalarAsync<long>(new("select coalesce(max(number), 0) from warning_inputs", cancellationToken: stop));
        var inputUs = await connection.ExecuteScalarAsync<long>(new("select coalesce(max(at_us), 0) from warning_inputs", cancellationToken: stop));
        var changeUs = await connection.ExecuteScalarAsync<long>(new("select coalesce(max(changed_us), 0) from warnings", cancellationToken: stop));
        return (number, Math.Max(inputUs, changeUs));
    }

    private async Task<IReadOnlyList<T>> ListAsync<T>(string statement, object? values, CancellationToken stop)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return (await connection.QueryAsync<T>(new(statement, values, cancellationToken: stop))).AsList();
    }
}
