using Dapper;
using Saltograph.Store.Engines;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Queries;

/// <summary>Asks for athletes, trainings and recordings.</summary>
public sealed class SessionQueries
{
    private readonly IStoreEngine _engine;
    private readonly Sight _sight;

    internal SessionQueries(IStoreEngine engine, Sight sight) => (_engine, _sight) = (engine, sight);

    /// <summary>Pseudonyms of all athletes, in order.</summary>
    public async Task<IReadOnlyList<string>> AthletesAsync(CancellationToken stop = default) => await ListAsync<string>($"select id from athletes where 1 = 1{_sight.And("id")} order by id", new { seer = _sight.Seer }, stop);

    /// <summary>Trainings that overlap a stretch of time, in order of their begin.</summary>
    /// <param name="athlete">Pseudonym; null for all.</param>
    /// <param name="fromUs">Begin, us since 1970.</param>
    /// <param name="beforeUs">End, us since 1970.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<IReadOnlyList<SessionRow>> OverlappingAsync(string? athlete, long fromUs, long beforeUs, CancellationToken stop = default) => await ListAsync<SessionRow>(
        $"""
        select * from sessions where {(athlete is null ? "" : "athlete = @athlete and ")}opened_us < @beforeUs and (closed_us is null or closed_us >= @fromUs){_sight.And()}
        order by opened_us, id
        """,
        new { athlete, fromUs, beforeUs, seer = _sight.Seer },
        stop);

    /// <summary>One training; null when there is none.</summary>
    public async Task<SessionRow?> FindAsync(string id, CancellationToken stop = default) =>
        await ListAsync<SessionRow>("select * from sessions where id = @id" + _sight.And(), new { id, seer = _sight.Seer }, stop) is [var found] ? found : null;

    /// <summary>Trainings that are open, of one athlete or of all.</summary>
    public async Task<IReadOnlyList<SessionRow>> OpenAsync(string? athlete = null, CancellationToken stop = default) => await ListAsync<SessionRow>(
        $"select * from sessions where {(athlete is null ? "" : "athlete = @athlete and ")}closed_us is null{_sight.And()} order by opened_us, id", new { athlete, seer = _sight.Seer }, stop);

    /// <summary>Recordings that were never finished: those that run, and after a start those that a crash has left.</summary>
    public async Task<IReadOnlyList<RecordingRow>> OpenRecordingsAsync(CancellationToken stop = default) =>
        await ListAsync<RecordingRow>($"select * from recordings where closed_us is null{_sight.And()} order by athlete, opened_us, id", new { seer = _sight.Seer }, stop);

    private async Task<IReadOnlyList<T>> ListAsync<T>(string statement, object? values, CancellationToken stop)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return (await connection.QueryAsync<T>(new(statement, values, cancellationToken: stop))).AsList();
    }
}
