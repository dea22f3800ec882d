using System.Data.Common;
using Dapper;
using Saltograph.Store.Rows;

namespace Saltograph.Store;

/// <summary>
/// One writing transaction. What has an event id is written once: a second time changes nothing and answers false, so
/// that a replay or a redelivery adds nothing.
/// </summary>
public sealed partial class StoreTransaction
{
    private readonly DbConnection _connection;
    private readonly DbTransaction _transaction;

    internal StoreTransaction(DbConnection connection, DbTransaction transaction, long lastNumber, long lastAudit) =>
        (_connection, _transaction, LastNumber, LastAudit) = (connection, transaction, lastNumber, lastAudit);

    internal long LastNumber { get; private set; }

    internal long LastAudit { get; private set; }

    internal bool IsAbandoned { get; private set; }

    /// <summary>Nothing of this transaction is to be kept.</summary>
    public void Abandon() => IsAbandoned = true;

    /// <summary>Notes that an athlete exists.</summary>
    public Task<bool> AddAthleteAsync(string athlete, long firstSeenUs) => IsNewAsync(
        "insert into athletes (id, first_seen_us) values (@athlete, @firstSeenUs) on conflict (id) do nothing", new { athlete, firstSeenUs });

    /// <summary>Adds a jump and its record. Without a session it goes to the one that was open when it landed.</summary>
    /// <returns>Whether it is new.</returns>
    public async Task<bool> AddJumpAsync(JumpRow jump)
    {
        ArgumentNullException.ThrowIfNull(jump);
        ArgumentNullException.ThrowIfNull(jump.Record);
        var session = jump.Session ?? await SessionAtAsync(jump.Athlete, jump.LandingUs);
        var row = new
        {
            jump.Id,
            jump.Athlete,
            Session = session,
            jump.Recording,
            jump.Day,
            jump.Number,
            jump.TakeoffUs,
            jump.LandingUs,
            jump.Form,
            jump.TakeoffFoot,
            jump.LandingFoot,
            jump.FlightTimeS,
            jump.HeightM,
            jump.TurnFlightDeg,
            jump.SplitAngleDeg,
            jump.ShockTrunkG,
            jump.ShockAnkleLeftG,
            jump.ShockAnkleRightG,
            jump.ContactTimeS,
            Saturated = jump.Saturated ? 1L : 0L,
            jump.Grade,
            jump.LandingClass,
        };
        const string Insert = """
            insert into jumps (id, athlete, session, recording, day, number, takeoff_us, landing_us, form, takeoff_foot, landing_foot, flight_time_s, height_m,
                turn_flight_deg, split_angle_deg, shock_trunk_g, shock_ankle_left_g, shock_ankle_right_g, contact_time_s, saturated, grade, landing_class)
            values (@Id, @Athlete, @Session, @Recording, @Day, @Number, @TakeoffUs, @LandingUs, @Form, @TakeoffFoot, @LandingFoot, @FlightTimeS, @HeightM,
                @TurnFlightDeg, @SplitAngleDeg, @ShockTrunkG, @ShockAnkleLeftG, @ShockAnkleRightG, @ContactTimeS, @Saturated, @Grade, @LandingClass)
            on conflict (id) do nothing
            """;
        if (!await IsNewAsync(Insert, row))
        {
            return false;
        }

        await ExecuteAsync("insert into jump_records (id, record) values (@Id, @Record)", new { jump.Id, jump.Record });
        return true;
    }

    /// <summary>Adds the course of a jump, packed by the caller; one that is there stays.</summary>
    /// <returns>Whether it is new.</returns>
    public Task<bool> AddCurvesAsync(string jump, byte[] curves) =>
        IsNewAsync("insert into jump_curves (id, curves) values (@jump, @curves) on conflict (id) do nothing", new { jump, curves });

    /// <summary>Adds a landing.</summary>
    public Task<bool> AddLandingAsync(LandingRow landing) => IsNewAsync(
        """
        insert into landings (id, athlete, landing_us, flight_time_s, landing_foot)
        values (@Id, @Athlete, @LandingUs, @FlightTimeS, @LandingFoot) on conflict (id) do nothing
        """,
        landing);

    /// <summary>Adds something about a sensor.</summary>
    public Task<bool> AddSensorEventAsync(SensorEventRow sensor) => IsNewAsync(
        """
        insert into sensor_events (id, athlete, sensor, site, kind, at_us, amount, duration_s)
        values (@Id, @Athlete, @Sensor, @Site, @Kind, @AtUs, @Amount, @DurationS) on conflict (id) do nothing
        """,
        sensor);

    /// <summary>Puts an event behind those that the broker has still to confirm. Its number is given here; one with the same id that still waits stays as it is.</summary>
    public async Task<bool> AddToOutboxAsync(OutboxRow message)
    {
        ArgumentNullException.ThrowIfNull(message);
        var isNew = await IsNewAsync(
            """
            insert into outbox (number, id, topic, content_type, retain, payload, created_us)
            values (@Number, @Id, @Topic, @ContentType, @Retain, @Payload, @CreatedUs) on conflict (id) do nothing
            """,
            new { Number = LastNumber + 1, message.Id, message.Topic, message.ContentType, Retain = message.Retain ? 1L : 0L, message.Payload, message.CreatedUs });
        LastNumber += isNew ? 1 : 0;
        return isNew;
    }

    /// <summary>Takes confirmed events out.</summary>
    public Task RemoveFromOutboxAsync(IEnumerable<long> numbers)
    {
        ArgumentNullException.ThrowIfNull(numbers);
        return ExecuteAsync("delete from outbox where number = @number", numbers.Select(number => new { number }).ToList());
    }

    /// <summary>Takes events out that were written before a time.</summary>
    public Task RemoveFromOutboxBeforeAsync(long createdUs) => ExecuteAsync("delete from outbox where created_us < @createdUs", new { createdUs });

    /// <summary>Opens a recording.</summary>
    public Task<bool> OpenRecordingAsync(RecordingRow recording) => IsNewAsync(
        "insert into recordings (id, athlete, opened_us, closed_us) values (@Id, @Athlete, @OpenedUs, @ClosedUs) on conflict (id) do nothing", recording);

    /// <summary>Closes a recording: everything in it was measured and is stored.</summary>
    public Task CloseRecordingAsync(string id, long closedUs) =>
        ExecuteAsync("update recordings set closed_us = @closedUs where id = @id and closed_us is null", new { id, closedUs });

    /// <summary>Opens a training; one that the athlete has still open is not touched.</summary>
    public Task<bool> OpenSessionAsync(SessionRow session) => IsNewAsync(
        """
        insert into sessions (id, athlete, opened_us, opened_by, closed_us, closed_by, kind, apparatus, notes, exertion, minutes)
        values (@Id, @Athlete, @OpenedUs, @OpenedBy, @ClosedUs, @ClosedBy, @Kind, @Apparatus, @Notes, @Exertion, @Minutes) on conflict (id) do nothing
        """,
        session);

    /// <summary>Closes a training that is open.</summary>
    /// <returns>Whether it was open.</returns>
    public Task<bool> CloseSessionAsync(string id, long closedUs, string closedBy) => IsNewAsync(
        "update sessions set closed_us = @closedUs, closed_by = @closedBy where id = @id and closed_us is null", new { id, closedUs, closedBy });

    /// <summary>Changes what staff enter about a training: kind, apparatus, notes, exertion, minutes.</summary>
    /// <returns>Whether it exists.</returns>
    public Task<bool> DescribeSessionAsync(SessionRow session) => IsNewAsync(
        "update sessions set kind = @Kind, apparatus = @Apparatus, notes = @Notes, exertion = @Exertion, minutes = @Minutes where id = @Id", session);

    /// <summary>Id of the training that was open at a time, the one opened last if there are several; null when none was.</summary>
    public Task<string?> SessionAtAsync(string athlete, long atUs) => _connection.QueryFirstOrDefaultAsync<string?>(
        """
        select id from sessions where athlete = @athlete and opened_us <= @atUs and (closed_us is null or closed_us > @atUs)
        order by opened_us desc, id desc limit 1
        """,
        new { athlete, atUs },
        _transaction);

    /// <summary>Apparatus of the training that was open at a time; null when none was, or none was entered.</summary>
    public async Task<string?> ApparatusAtAsync(string athlete, long atUs) => await SessionAtAsync(athlete, atUs) is { } id
        ? await _connection.QueryFirstOrDefaultAsync<string?>("select apparatus from sessions where id = @id", new { id }, _transaction)
        : null;

    /// <summary>Sums of an athlete's day, with what this transaction has written.</summary>
    public Task<DayLoad> DayLoadAsync(string athlete, string day) => Queries.LoadQueries.DayAsync(_connection, _transaction, athlete, day);

    /// <summary>Enters a plan, or limits; what was entered for the same day and kind before is replaced.</summary>
    public Task PutPlanAsync(PlanRow plan) => ExecuteAsync(
        """
        insert into plans (athlete, day, kind, limits, entered_us, entered_by) values (@Athlete, @Day, @Kind, @Limits, @EnteredUs, @EnteredBy)
        on conflict (athlete, day, kind) do update set limits = excluded.limits, entered_us = excluded.entered_us, entered_by = excluded.entered_by
        """,
        plan);

    /// <summary>Takes a plan, or limits, away.</summary>
    /// <returns>Whether there was one.</returns>
    public Task<bool> RemovePlanAsync(string athlete, string day, string kind) =>
        IsNewAsync("delete from plans where athlete = @athlete and day = @day and kind = @kind", new { athlete, day, kind });

    /// <summary>Raises a warning; its first change is to be added beside it.</summary>
    /// <returns>Whether it is new: false means that the same facts have raised it before.</returns>
    public Task<bool> AddWarningAsync(WarningRow warning) => IsNewAsync(
        """
        insert into warnings (id, athlete, rule, channel, priority, state, active, raised_us, changed_us, shelved_until_us, detail)
        values (@Id, @Athlete, @Rule, @Channel, @Priority, @State, @Active, @RaisedUs, @ChangedUs, @ShelvedUntilUs, @Detail) on conflict (id) do nothing
        """,
        Values(warning));

    /// <summary>Writes how a warning stands now.</summary>
    /// <returns>Whether it exists.</returns>
    public Task<bool> PutWarningAsync(WarningRow warning) => IsNewAsync(
        """
        update warnings set priority = @Priority, state = @State, active = @Active, changed_us = @ChangedUs, shelved_until_us = @ShelvedUntilUs, detail = @Detail
        where id = @Id
        """,
        Values(warning));

    /// <summary>Adds a change to a warning's history; a number that is there already is not written again.</summary>
    public Task<bool> AddWarningChangeAsync(WarningChangeRow change) => IsNewAsync(
        """
        insert into warning_changes (warning, number, at_us, state, who, why, detail)
        values (@Warning, @Number, @AtUs, @State, @Who, @Why, @Detail) on conflict (warning, number) do nothing
        """,
        change);

    /// <summary>Notes something that warnings were judged by; a number that is there already is not written again.</summary>
    public Task<bool> AddWarningInputAsync(WarningInputRow input) => IsNewAsync(
        """
        insert into warning_inputs (number, at_us, kind, athlete, body) values (@Number, @AtUs, @Kind, @Athlete, @Body) on conflict (number) do nothing
        """,
        input);

    // Truth values are bigint in the schema, on both engines.
    private static object Values(WarningRow warning) => new
    {
        warning.Id,
        warning.Athlete,
        warning.Rule,
        warning.Channel,
        warning.Priority,
        warning.State,
        Active = warning.Active ? 1L : 0L,
        warning.RaisedUs,
        warning.ChangedUs,
        warning.ShelvedUntilUs,
        warning.Detail,
    };

    private async Task<bool> IsNewAsync(string statement, object values) => await _connection.ExecuteAsync(statement, values, _transaction) == 1;

    private Task<int> ExecuteAsync(string statement, object values) => _connection.ExecuteAsync(statement, values, _transaction);
}
