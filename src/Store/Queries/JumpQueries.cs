using System.Globalization;
using Dapper;
using Saltograph.Store.Engines;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Queries;

/// <summary>Which jumps. Everything that is null does not narrow the answer.</summary>
public sealed record JumpFilter
{
    /// <summary>Pseudonym.</summary>
    public string? Athlete { get; init; }

    /// <summary>Id of a training.</summary>
    public string? Session { get; init; }

    /// <summary>Id of a recording.</summary>
    public string? Recording { get; init; }

    /// <summary>Form, as the record spells it.</summary>
    public string? Form { get; init; }

    /// <summary>Foot of the last contact: <c>left</c>, <c>right</c> or <c>both</c>.</summary>
    public string? TakeoffFoot { get; init; }

    /// <summary>Foot of the first contact, likewise.</summary>
    public string? LandingFoot { get; init; }

    /// <summary>Class of the landing, a word of the caller.</summary>
    public string? LandingClass { get; init; }

    /// <summary>Apparatus of the training.</summary>
    public string? Apparatus { get; init; }

    /// <summary>Heights from this on, m.</summary>
    public double? HeightFromM { get; init; }

    /// <summary>Heights below this, m.</summary>
    public double? HeightBelowM { get; init; }

    /// <summary>Shocks of the ankle that landed, the larger one of two, from this on, g; leaves out jumps without one.</summary>
    public double? ShockFromG { get; init; }

    /// <summary>Such shocks below this, g.</summary>
    public double? ShockBelowG { get; init; }

    /// <summary>Landings from this time on, us since 1970.</summary>
    public long? FromUs { get; init; }

    /// <summary>Landings before this time, us since 1970.</summary>
    public long? BeforeUs { get; init; }

    /// <summary>Newest first instead of oldest first; default false.</summary>
    public bool NewestFirst { get; init; }

    /// <summary>The place after which to go on: <see cref="JumpPage.Next"/> of the page before.</summary>
    public string? After { get; init; }

    /// <summary>Most jumps of one page, 1 to 10000; default 100.</summary>
    public int Limit { get; init; } = 100;

    /// <summary>Whose whole records are wanted; default all.</summary>
    public JumpRecords Records { get; init; }
}

/// <summary>Whose whole records an answer has. Reading them is most of the time that an answer takes.</summary>
public enum JumpRecords
{
    /// <summary>Of all jumps.</summary>
    All,

    /// <summary>Of jumps with a sensor at its rail: only the record says which one.</summary>
    OfSaturated,

    /// <summary>Of none; apparatus is null too.</summary>
    None,
}

/// <summary>A part of an answer.</summary>
/// <param name="Jumps">The jumps, in order of landing.</param>
/// <param name="Next">Where the next page begins; null when this is the last one.</param>
public sealed record JumpPage(IReadOnlyList<JumpRow> Jumps, string? Next);

/// <summary>Asks for jumps and landings.</summary>
public sealed class JumpQueries
{
    private const string Apparatus = "(select sessions.apparatus from sessions where sessions.id = jumps.session) as apparatus";

    private const string LandingShock = """
        (case when landing_foot = 'left' then shock_ankle_left_g when landing_foot = 'right' then shock_ankle_right_g
            when shock_ankle_left_g is null then shock_ankle_right_g when shock_ankle_right_g is null then shock_ankle_left_g
            when shock_ankle_left_g >= shock_ankle_right_g then shock_ankle_left_g else shock_ankle_right_g end)
        """;

    private readonly IStoreEngine _engine;
    private readonly Sight _sight;

    internal JumpQueries(IStoreEngine engine, Sight sight) => (_engine, _sight) = (engine, sight);

    /// <summary>A page of jumps. A page costs the same wherever it is: it begins at a key, not at a count.</summary>
    /// <exception cref="ArgumentException">The limit is out of range, or the place is not one that this method gave.</exception>
    public async Task<JumpPage> PageAsync(JumpFilter filter, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(filter);
        if (filter.Limit is < 1 or > 10_000)
        {
            throw new ArgumentException($"Limit: found {filter.Limit}; allowed: 1 to 10000.", nameof(filter));
        }

        var (afterUs, afterId) = ReadPlace(filter.After);
        var conditions = new List<string>();
        void Narrow(bool wanted, string condition)
        {
            if (wanted)
            {
                conditions.Add(condition);
            }
        }

        Narrow(filter.Athlete is not null, "athlete = @Athlete");
        Narrow(filter.Session is not null, "session = @Session");
        Narrow(filter.Recording is not null, "recording = @Recording");
        Narrow(filter.Form is not null, "form = @Form");
        Narrow(filter.TakeoffFoot is not null, "takeoff_foot = @TakeoffFoot");
        Narrow(filter.LandingFoot is not null, "landing_foot = @LandingFoot");
        Narrow(filter.LandingClass is not null, "landing_class = @LandingClass");
        Narrow(filter.Apparatus is not null, "exists (select 1 from sessions where sessions.id = jumps.session and sessions.apparatus = @Apparatus)");
        Narrow(filter.HeightFromM is not null, "height_m >= @HeightFromM");
        Narrow(filter.HeightBelowM is not null, "height_m < @HeightBelowM");
        Narrow(filter.ShockFromG is not null, $"{LandingShock} >= @ShockFromG");
        Narrow(filter.ShockBelowG is not null, $"{LandingShock} < @ShockBelowG");
        Narrow(filter.FromUs is not null, "landing_us >= @FromUs");
        Narrow(filter.BeforeUs is not null, "landing_us < @BeforeUs");
        Narrow(afterId is not null, filter.NewestFirst ? "(landing_us, jumps.id) < (@afterUs, @afterId)" : "(landing_us, jumps.id) > (@afterUs, @afterId)");
        var order = filter.NewestFirst ? "landing_us desc, jumps.id desc" : "landing_us, jumps.id";
        var statement = $"""
            select jumps.*{(filter.Records == JumpRecords.None ? "" : $", jump_records.record, {Apparatus}")}
            from jumps {filter.Records switch
        {
            JumpRecords.All => "join jump_records on jump_records.id = jumps.id",
            JumpRecords.OfSaturated => "left join jump_records on jump_records.id = jumps.id and jumps.saturated <> 0",
            _ => "",
        }}
            where {(conditions.Count == 0 ? "1 = 1" : string.Join(" and ", conditions))}{_sight.And("jumps.athlete")}
            order by {order} limit @most
            """;
        await using var connection = await _engine.OpenAsync(stop);
        var rows = (await connection.QueryAsync<JumpRow>(new(
            statement,
            new
            {
                filter.Athlete,
                filter.Session,
                filter.Recording,
                filter.Form,
                filter.TakeoffFoot,
                filter.LandingFoot,
                filter.LandingClass,
                filter.Apparatus,
                filter.HeightFromM,
                filter.HeightBelowM,
                filter.ShockFromG,
                filter.ShockBelowG,
                filter.FromUs,
                filter.BeforeUs,
                afterUs,
                afterId,
                most = filter.Limit + 1,
                seer = _sight.Seer,
            },
            cancellationToken: stop))).AsList();
        if (rows.Count <= filter.Limit)
        {
            return new(rows, null);
        }

        rows.RemoveAt(rows.Count - 1);
        return new(rows, string.Create(CultureInfo.InvariantCulture, $"{rows[^1].LandingUs}~{rows[^1].Id}"));
    }

    /// <summary>One jump; null when there is none.</summary>
    public async Task<JumpRow?> FindAsync(string id, CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return await connection.QueryFirstOrDefaultAsync<JumpRow>(new(
            $"select jumps.*, jump_records.record, {Apparatus} from jumps join jump_records on jump_records.id = jumps.id where jumps.id = @id{_sight.And("jumps.athlete")}",
            new { id, seer = _sight.Seer },
            cancellationToken: stop));
    }

    /// <summary>The course of a jump as it was packed; null when none was stored.</summary>
    public async Task<byte[]?> CurvesAsync(string id, CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return await connection.QueryFirstOrDefaultAsync<byte[]?>(new(
            $"select curves from jump_curves where id in (select id from jumps where id = @id{_sight.And()})", new { id, seer = _sight.Seer }, cancellationToken: stop));
    }

    /// <summary>Landings of an athlete in a stretch of time, oldest first.</summary>
    public async Task<IReadOnlyList<LandingRow>> LandingsAsync(string athlete, long fromUs, long beforeUs, CancellationToken stop = default)
    {
        await using var connection = await _engine.OpenAsync(stop);
        return (await connection.QueryAsync<LandingRow>(new(
            $"select * from landings where athlete = @athlete and landing_us >= @fromUs and landing_us < @beforeUs{_sight.And()} order by landing_us, id",
            new { athlete, fromUs, beforeUs, seer = _sight.Seer },
            cancellationToken: stop))).AsList();
    }

    /// <summary>Whether a text has the form of a place that <see cref="PageAsync"/> gives.</summary>
    public static bool IsPlace(string place) => TryPlace(place, out _, out _);

    private static (long Us, string? Id) ReadPlace(string? place) => place is null ? (0, null)
        : TryPlace(place, out var us, out var id) ? (us, id)
        : throw new ArgumentException($"After: found '{place}'; allowed: the place that the page before gave.", nameof(place));

    private static bool TryPlace(string place, out long us, out string id)
    {
        ArgumentNullException.ThrowIfNull(place);
        var border = place.IndexOf('~', StringComparison.Ordinal);
        us = 0;
        id = place[(border + 1)..];
        return border > 0 && long.TryParse(place.AsSpan(0, border), NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out us);
    }
}
