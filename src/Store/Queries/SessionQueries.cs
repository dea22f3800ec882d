using Dapper;
using Saltograph.Store.Engines;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Queries;

/// <summary>Asks for athletes, trainings and recordings.</summary>
public sealed class SessionQueries
{
    private readonly IStoreEngine _engine;

    internal SessionQueries(IStoreEngine engine) => _engine = engine;

    /// <summary>Pseudonyms of all athletes, in order.</summary>
    public async Task<IReadOnlyList<string>> AthletesAsync(CancellationToken stop = default) => await ListAsync<string>("select id from athletes order by id", null, stop);

    /// <summary>Trainings that overlap a stretch of time, in order of their begin.</summary>
    /// <param name="athlete">Pseudonym; null for all.</param>
    /// <param name="fromUs">Begin, us since 1970.</param>
    /// <param name="beforeUs">End, us since 1970.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<IReadOnlyList<SessionRow>> OverlappingAsync(string? athlete, long fromUs, long beforeUs, CancellationToken stop = default) => await ListAsync<SessionRow>(
        $"""
        select * from sessions where {(athlete is null ? "" : "athlete = @athlete and ")}opened_us < @beforeUs and (closed_us is null or closed_us >= @fromUs)
        order by opened_us, id
        """,
        new { athlete, fromUs, beforeUs },
        stop);

    /// <summary>One training; null when there is none.</summary>
    public async Task<SessionRow?> FindAsync(string id, CancellationToken stop = default) =>
        await ListAsync<SessionRow>("select * from sessions where id = @id", new { id }, stop) is [var found] ? found : null;

    /// <summary>Trainings that are open, of one athlete or of all.</summary>
    public async Task<IReadOnlyList<SessionRow>> OpenAsync(string? athlete = null, CancellationToken stop = default) => await ListAsync<SessionRow>(
        $"select * from sessions where {(athlete is null ? "" : "athlete = @athlete and ")}closed_us is null order by opened_us, id", new { athlete }, stop);

    /// <summary>Recordings that were never finished: those that run, and after a start those that a crash has left.</summary>
    public async Task<IReadOnlyList<RecordingRow>> OpenRecordingsAsync(CancellationToken stop = default) =>
        await ListAsync<RecordingRow>("select * from recordings where closed_us is null order by athlete, opened_us, id", null, stop);

    private async Task<IReadOnlyList<T>> ListAsync<T>(string statement, object? values, CancellationToken stop)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return (await connection.QueryAsync<T>(new(statement, values, cancellationToken: stop))).AsList();
    }
}
