using Saltograph.Store.Engines;
using Saltograph.Store.Queries;

namespace Saltograph.Store;

/// <summary>The store as somebody may see it: the same questions, answered with the rows that the sight allows.</summary>
public sealed class HallView
{
    private readonly IStoreEngine _engine;
    private readonly Sight _sight;

    internal HallView(IStoreEngine engine, Sight sight)
    {
        (_engine, _sight) = (engine, sight);
        Jumps = new(engine, sight);
        Load = new(engine, sight);
        Sessions = new(engine, sight);
        Plans = new(engine, sight);
        Warnings = new(engine, sight);
        Sensors = new(engine, sight);
    }

    /// <summary>Jumps and landings.</summary>
    public JumpQueries Jumps { get; }

    /// <summary>Sums per day.</summary>
    public LoadQueries Load { get; }

    /// <summary>Athletes, trainings and recordings.</summary>
    public SessionQueries Sessions { get; }

    /// <summary>Plans and limits.</summary>
    public PlanQueries Plans { get; }

    /// <summary>Warnings and their history.</summary>
    public WarningQueries Warnings { get; }

    /// <summary>What was told about sensors.</summary>
    public SensorEventQueries Sensors { get; }

    /// <summary>Whether an athlete's data may be seen here, stored or not yet.</summary>
    /// <param name="athlete">Pseudonym.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<bool> SeesAsync(string athlete, CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return await Dapper.SqlMapper.ExecuteScalarAsync<long>(
            connection, new("select count(*) from (select cast(@athlete as text) as athlete) asked where 1 = 1" + _sight.And(), new { athlete, seer = _sight.Seer }, cancellationToken: stop)) == 1;
    }
}
