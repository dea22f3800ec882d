using Dapper;
using Saltograph.Store.Engines;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Queries;

/// <summary>Asks for plans and limits.</summary>
public sealed class PlanQueries
{
    private readonly IStoreEngine _engine;
    private readonly Sight _sight;

    internal PlanQueries(IStoreEngine engine, Sight sight) => (_engine, _sight) = (engine, sight);

    /// <summary>Plans and limits of some days, both ends included, by athlete, day and kind.</summary>
    /// <param name="athlete">Pseudonym; null for all.</param>
    /// <param name="firstDay">First day, <c>yyyy-MM-dd</c>.</param>
    /// <param name="lastDay">Last day.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<IReadOnlyList<PlanRow>> OfDaysAsync(string? athlete, string firstDay, string lastDay, CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return (await connection.QueryAsync<PlanRow>(new(
            $"select * from plans where {(athlete is null ? "" : "athlete = @athlete and ")}day >= @firstDay and day <= @lastDay{_sight.And()} order by athlete, day, kind",
            new { athlete, firstDay, lastDay, seer = _sight.Seer },
            cancellationToken: stop))).AsList();
    }
}
