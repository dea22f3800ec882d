using System.Data.Common;
using Dapper;
using Saltograph.Store.Engines;

namespace Saltograph.Store.Queries;

/// <summary>What load is worked out from. All days are days of the hall's zone, <c>yyyy-MM-dd</c>, both ends included.</summary>
public sealed class LoadQueries
{
    // Sums of whole micrometres and microseconds: floating sums would differ between engines and with the order of rows.
    private const string Sums = """
        count(*),
        cast(coalesce(sum(case when takeoff_foot = 'left' then 1 else 0 end), 0) as bigint),
        cast(coalesce(sum(case when takeoff_foot = 'right' then 1 else 0 end), 0) as bigint),
        cast(coalesce(sum(case when takeoff_foot = 'both' then 1 else 0 end), 0) as bigint),
        cast(coalesce(sum(case when landing_foot = 'left' then 1 else 0 end), 0) as bigint),
        cast(coalesce(sum(case when landing_foot = 'right' then 1 else 0 end), 0) as bigint),
        cast(coalesce(sum(case when landing_foot = 'both' then 1 else 0 end), 0) as bigint),
        cast(coalesce(sum(cast(round(height_m * 1000000) as bigint)), 0) as bigint),
        cast(coalesce(sum(cast(round(flight_time_s * 1000000) as bigint)), 0) as bigint),
        min(landing_us), max(landing_us)
        """;

    private readonly IStoreEngine _engine;
    private readonly Sight _sight;

    internal LoadQueries(IStoreEngine engine, Sight sight) => (_engine, _sight) = (engine, sight);

    /// <summary>Counts and sums of each day with jumps, by athlete and day.</summary>
    /// <param name="athlete">Pseudonym; null for the whole squad.</param>
    /// <param name="firstDay">First day.</param>
    /// <param name="lastDay">Last day.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<IReadOnlyList<DayLoad>> DaysAsync(string? athlete, string firstDay, string lastDay, CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        await using var reader = await connection.ExecuteReaderAsync(new(
            $"select athlete, day, {Sums} from jumps where {Where(athlete)} group by athlete, day order by athlete, day",
            new { athlete, firstDay, lastDay, seer = _sight.Seer },
            cancellationToken: stop));
        var days = new List<DayLoad>();
        while (await reader.ReadAsync(stop))
        {
            days.Add(Read(reader, reader.GetString(0), reader.GetString(1), 2));
        }

        return days;
    }

    /// <summary>The few values of each jump, by athlete and landing: for bands, powers of shock, slopes.</summary>
    /// <param name="athlete">Pseudonym; null for the whole squad.</param>
    /// <param name="firstDay">First day.</param>
    /// <param name="lastDay">Last day.</param>
    /// <param name="stop">Gives up.</param>
    public async Task<IReadOnlyList<LoadPoint>> PointsAsync(string? athlete, string firstDay, string lastDay, CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        await using var reader = await connection.ExecuteReaderAsync(new(
            $"""
            select athlete, day, landing_us, form, takeoff_foot, landing_foot, flight_time_s, height_m, contact_time_s, shock_trunk_g, shock_ankle_left_g,
                shock_ankle_right_g, saturated
            from jumps where {Where(athlete)} order by athlete, day, landing_us, id
            """,
            new { athlete, firstDay, lastDay, seer = _sight.Seer },
            cancellationToken: stop));
        var points = new List<LoadPoint>();
        while (await reader.ReadAsync(stop))
        {
            points.Add(new(
                reader.GetString(0), reader.GetString(1), reader.GetInt64(2), Text(reader, 3), Text(reader, 4), Text(reader, 5), reader.GetDouble(6),
                reader.GetDouble(7), Number(reader, 8), Number(reader, 9), Number(reader, 10), Number(reader, 11), reader.GetInt64(12) != 0));
        }

        return points;
    }

    internal static async Task<DayLoad> DayAsync(DbConnection connection, DbTransaction? transaction, string athlete, string day)
    {
        await using var reader = await connection.ExecuteReaderAsync(
            $"select {Sums} from jumps where athlete = @athlete and day = @day", new { athlete, day }, transaction);
        await reader.ReadAsync();
        return Read(reader, athlete, day, 0);
    }

    private string Where(string? athlete) => (athlete is null ? "" : "athlete = @athlete and ") + "day >= @firstDay and day <= @lastDay" + _sight.And();

    private static string? Text(DbDataReader reader, int column) => reader.IsDBNull(column) ? null : reader.GetString(column);

    private static double? Number(DbDataReader reader, int column) => reader.IsDBNull(column) ? null : reader.GetDouble(column);

    private static DayLoad Read(DbDataReader reader, string athlete, string day, int from)
    {
        long At(int place) => reader.GetInt64(from + place);
        long? Time(int place) => reader.IsDBNull(from + place) ? null : At(place);
        var jumps = At(0);
        return new(
            athlete,
            day,
            jumps,
            new(At(1), At(2), At(3), jumps - At(1) - At(2) - At(3)),
            new(At(4), At(5), At(6), jumps - At(4) - At(5) - At(6)),
            At(7) / 1e6,
            At(8) / 1e6,
            Time(9),
            Time(10));
    }
}
