using Dapper;
using Saltograph.Store.Engines;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Queries;

/// <summary>Asks for what was told about sensors.</summary>
public sealed class SensorEventQueries
{
    private readonly IStoreEngine _engine;
    private readonly Sight _sight;

    internal SensorEventQueries(IStoreEngine engine, Sight sight) => (_engine, _sight) = (engine, sight);

    /// <summary>What was told about an athlete's sensors in a stretch of time, oldest first.</summary>
    public async Task<IReadOnlyList<SensorEventRow>> OfAsync(string athlete, long fromUs, long beforeUs, CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return (await connection.QueryAsync<SensorEventRow>(new(
            $"select * from sensor_events where athlete = @athlete and at_us >= @fromUs and at_us < @beforeUs{_sight.And()} order by at_us, id",
            new { athlete, fromUs, beforeUs, seer = _sight.Seer },
            cancellationToken: stop))).AsList();
    }
}
