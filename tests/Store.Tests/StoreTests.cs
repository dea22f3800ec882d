using Microsoft.Data.Sqlite;
using Saltograph.Store.Queries;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Tests;

/// <summary>What both engines promise alike.</summary>
public sealed class StoreTests(Engines engines) : IClassFixture<Engines>, IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public static TheoryData<string> Kinds => Engines.Kinds;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task A_jump_comes_back_as_it_was_written(string kind)
    {
        await using var store = await OpenAsync(kind);
        var written = MadeUp.Jump("amber", 7) with { Session = "s", Recording = "r", ContactTimeS = 0.21 };
        await store.WriteAsync(transaction => transaction.AddJumpAsync(written), Stop);
        Assert.Equal(written, await store.Jumps.FindAsync(written.Id, Stop));
        var bare = written with { Id = "bare", Form = null, TakeoffFoot = null, LandingFoot = null, TurnFlightDeg = null, ShockTrunkG = null, ShockAnkleLeftG = null, ContactTimeS = null };
        await store.WriteAsync(transaction => transaction.AddJumpAsync(bare), Stop);
        Assert.Equal(bare, await store.Jumps.FindAsync("bare", Stop));
        Assert.Null(await store.Jumps.FindAsync("absent", Stop));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task What_warnings_were_judged_by_goes_but_for_lasting_kinds_and_the_newest(string kind)
    {
        await using var store = await OpenAsync(kind);
        await store.WriteAsync(
            async transaction =>
            {
                foreach (var (number, what) in ((long, string)[])[(1, "jump"), (2, "out-of-service"), (3, "into-service"), (4, "report"), (5, "jump")])
                {
                    await transaction.AddWarningInputAsync(new() { Number = number, AtUs = number * 10, Kind = what, Athlete = "amber", Body = "{}" });
                }

                return true;
            },
            Stop);
        string[] lasting = ["out-of-service", "into-service"];
        Assert.Equal(1, await store.WriteAsync(transaction => transaction.DeleteWarningInputsBeforeAsync(40, lasting), Stop));
        Assert.Equal(1, await store.WriteAsync(transaction => transaction.DeleteWarningInputsBeforeAsync(1000, lasting), Stop));
        Assert.Equal([2L, 3L, 5L], (await store.Warnings.InputsAsync(0, lasting, Stop)).Select(row => row.Number));
        Assert.Equal((5L, 50L), await store.Warnings.ReachedAsync(Stop));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task The_course_of_a_jump_comes_back_to_the_byte_and_the_first_one_stays(string kind)
    {
        await using var store = await OpenAsync(kind);
        var jump = MadeUp.Jump("amber", 1);
        byte[] course = [.. Enumerable.Range(0, 256).Select(value => (byte)value)];
        Assert.True(await store.WriteAsync(transaction => transaction.AddCurvesAsync(jump.Id, course), Stop));
        Assert.Null(await store.Jumps.CurvesAsync(jump.Id, Stop)); // whose jump is not there, nobody may see
        await store.WriteAsync(transaction => transaction.AddJumpAsync(jump), Stop);
        Assert.False(await store.WriteAsync(transaction => transaction.AddCurvesAsync(jump.Id, [1]), Stop));
        Assert.Equal(course, await store.Jumps.CurvesAsync(jump.Id, Stop));
        Assert.Null(await store.Jumps.CurvesAsync("absent", Stop));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task The_same_event_twice_adds_nothing_and_changes_nothing(string kind)
    {
        await using var store = await OpenAsync(kind);
        var first = MadeUp.Jump("amber", 1);
        Assert.True(await store.WriteAsync(transaction => transaction.AddJumpAsync(first), Stop));
        Assert.False(await store.WriteAsync(transaction => transaction.AddJumpAsync(first with { HeightM = 9, Record = "{}" }), Stop));
        Assert.Equal(first, Assert.Single((await store.Jumps.PageAsync(new(), Stop)).Jumps));

        var landing = new LandingRow { Id = "l", Athlete = "amber", LandingUs = 5, FlightTimeS = 0.4 };
        var sensor = new SensorEventRow { Id = "e", Athlete = "amber", Sensor = "a-trunk", Site = "trunk", Kind = "Gap", AtUs = 5, Amount = 3, DurationS = 0.2 };
        var warning = Warning("w");
        foreach (var isNew in new[] { true, false })
        {
            Assert.Equal(isNew, await store.WriteAsync(transaction => transaction.AddLandingAsync(landing), Stop));
            Assert.Equal(isNew, await store.WriteAsync(transaction => transaction.AddSensorEventAsync(sensor), Stop));
            Assert.Equal(isNew, await store.WriteAsync(transaction => transaction.AddWarningAsync(warning), Stop));
            Assert.Equal(isNew, await store.WriteAsync(transaction => transaction.AddToOutboxAsync(Message("m")), Stop));
            Assert.Equal(isNew, await store.WriteAsync(transaction => transaction.AddAthleteAsync("amber", 1), Stop));
        }

        Assert.Equal(landing, Assert.Single(await store.Jumps.LandingsAsync("amber", 0, 10, Stop)));
        Assert.Equal(sensor, Assert.Single(await store.Sensors.OfAsync("amber", 0, 10, Stop)));
        Assert.Equal(warning, Assert.Single(await store.Warnings.ActiveAsync(stop: Stop)));
        Assert.Equal(1, await store.Outbox.CountAsync(Stop));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task A_transaction_that_throws_or_is_abandoned_leaves_nothing(string kind)
    {
        await using var store = await OpenAsync(kind);
        await Assert.ThrowsAsync<InvalidOperationException>(() => store.WriteAsync(
            async transaction =>
            {
                await transaction.AddJumpAsync(MadeUp.Jump("amber", 1));
                await transaction.AddToOutboxAsync(Message("1"));
                throw new InvalidOperationException("in the middle");
            },
            Stop));
        await store.WriteAsync(
            async transaction =>
            {
                await transaction.AddJumpAsync(MadeUp.Jump("amber", 2));
                transaction.Abandon();
            },
            Stop);
        Assert.Empty((await store.Jumps.PageAsync(new(), Stop)).Jumps);
        Assert.Equal(0, await store.Outbox.CountAsync(Stop));
        Assert.True(await store.AnswersAsync(Stop));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task The_schema_is_made_once_and_what_was_written_is_there_after_opening_again(string kind)
    {
        var options = await engines.EmptyAsync(kind, _folder);
        await using (var first = await HallStore.OpenAsync(options, Stop))
        {
            await first.WriteAsync(transaction => transaction.AddJumpAsync(MadeUp.Jump("amber", 1)), Stop);
        }

        await using var second = await HallStore.OpenAsync(options, Stop);
        Assert.Single((await second.Jumps.PageAsync(new(), Stop)).Jumps);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task A_second_process_is_kept_out_with_a_reason(string kind)
    {
        var options = await engines.EmptyAsync(kind, _folder);
        await using var first = await HallStore.OpenAsync(options, Stop);
        var refusal = await Assert.ThrowsAsync<StoreException>(() => HallStore.OpenAsync(options, Stop));
        Assert.Contains("in use by another process", refusal.Message, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task Pages_give_every_jump_once_in_order_both_ways(string kind)
    {
        await using var store = await OpenAsync(kind);

        // Three jumps at each instant: only the id tells them apart.
        var rows = Enumerable.Range(1, 100).Select(number => MadeUp.Jump("amber", number, MadeUp.MorningUs + (number / 3))).ToList();
        await AddAsync(store, rows);
        await AddAsync(store, [MadeUp.Jump("beryl", 1)]);
        foreach (var newestFirst in new[] { false, true })
        {
            var found = new List<JumpRow>();
            var filter = new JumpFilter { Athlete = "amber", Limit = 7, NewestFirst = newestFirst };
            do
            {
                var page = await store.Jumps.PageAsync(filter, Stop);
                Assert.InRange(page.Jumps.Count, 1, 7);
                found.AddRange(page.Jumps);
                filter = filter with { After = page.Next };
            }
            while (filter.After is not null);
            var expected = rows.OrderBy(row => row.LandingUs).ThenBy(row => row.Id, StringComparer.Ordinal).ToList();
            Assert.Equal(newestFirst ? Enumerable.Reverse(expected) : expected, found);
        }
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task Jumps_are_found_by_session_form_and_time(string kind)
    {
        await using var store = await OpenAsync(kind);
        await store.WriteAsync(transaction => transaction.OpenSessionAsync(new() { Id = "morning", Athlete = "amber", OpenedUs = MadeUp.MorningUs, OpenedBy = SessionRow.Activity }), Stop);
        await AddAsync(store, Enumerable.Range(0, 10).Select(number => MadeUp.Jump("amber", number, MadeUp.MorningUs + number)));
        await store.WriteAsync(transaction => transaction.CloseSessionAsync("morning", MadeUp.MorningUs + 10, "trainer"), Stop);
        await AddAsync(store, [MadeUp.Jump("amber", 10, MadeUp.MorningUs + 10)]); // the end itself is outside

        Assert.Equal(10, (await store.Jumps.PageAsync(new() { Session = "morning", Records = JumpRecords.None }, Stop)).Jumps.Count);
        Assert.Equal([1, 2, 4, 5, 7, 8, 10], await NumbersAsync(store, new() { Form = "leap" }));
        Assert.Equal([3, 4], await NumbersAsync(store, new() { FromUs = MadeUp.MorningUs + 3, BeforeUs = MadeUp.MorningUs + 5 }));
        await Assert.ThrowsAsync<ArgumentException>(() => store.Jumps.PageAsync(new() { Limit = 0 }, Stop));
        await Assert.ThrowsAsync<ArgumentException>(() => store.Jumps.PageAsync(new() { After = "somewhere" }, Stop));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task Trainings_are_opened_described_and_closed_once(string kind)
    {
        await using var store = await OpenAsync(kind);
        var session = new SessionRow { Id = "a", Athlete = "amber", OpenedUs = 10, OpenedBy = "trainer", Kind = SessionRow.ApparatusKind, Apparatus = "ribbon" };
        Assert.True(await store.WriteAsync(transaction => transaction.OpenSessionAsync(session), Stop));
        Assert.Equal(session, Assert.Single(await store.Sessions.OpenAsync("amber", Stop)));
        var described = session with { Notes = "new routine", Exertion = 6, Minutes = 95 };
        Assert.True(await store.WriteAsync(transaction => transaction.DescribeSessionAsync(described), Stop));
        Assert.True(await store.WriteAsync(transaction => transaction.CloseSessionAsync("a", 99, "trainer"), Stop));
        Assert.False(await store.WriteAsync(transaction => transaction.CloseSessionAsync("a", 200, "trainer"), Stop));
        Assert.Equal(described with { ClosedUs = 99, ClosedBy = "trainer" }, await store.Sessions.FindAsync("a", Stop));
        Assert.Empty(await store.Sessions.OpenAsync(stop: Stop));
        Assert.Single(await store.Sessions.OverlappingAsync(null, 50, 60, Stop));
        Assert.Empty(await store.Sessions.OverlappingAsync("amber", 100, 200, Stop));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task A_plan_replaces_the_one_before_and_limits_stand_beside_it(string kind)
    {
        await using var store = await OpenAsync(kind);
        var plan = new PlanRow { Athlete = "amber", Day = "2027-01-15", Kind = PlanRow.PlanKind, Limits = "{\"jumps\":80}", EnteredUs = 1, EnteredBy = "trainer" };
        var limits = plan with { Kind = PlanRow.ReturnToPlayKind, Limits = "{\"jumps\":20}", EnteredBy = "physio" };
        foreach (var row in new[] { plan with { Limits = "{}" }, plan, limits, plan with { Athlete = "beryl" } })
        {
            await store.WriteAsync(transaction => transaction.PutPlanAsync(row), Stop);
        }

        Assert.Equal([plan, limits], await store.Plans.OfDaysAsync("amber", "2027-01-15", "2027-01-15", Stop));
        Assert.True(await store.WriteAsync(transaction => transaction.RemovePlanAsync("amber", "2027-01-15", PlanRow.PlanKind), Stop));
        Assert.False(await store.WriteAsync(transaction => transaction.RemovePlanAsync("amber", "2027-01-15", PlanRow.PlanKind), Stop));
        Assert.Equal(2, (await store.Plans.OfDaysAsync(null, "2027-01-01", "2027-01-31", Stop)).Count);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task A_warning_keeps_its_history(string kind)
    {
        await using var store = await OpenAsync(kind);
        var warning = Warning("w");
        await store.WriteAsync(
            async transaction =>
            {
                await transaction.AddWarningAsync(warning);
                await transaction.AddWarningChangeAsync(new() { Warning = "w", Number = 1, AtUs = 5, State = "active" });
            },
            Stop);
        var acknowledged = warning with { State = "acknowledged", Active = false, ChangedUs = 9, ShelvedUntilUs = 50 };
        var change = new WarningChangeRow { Warning = "w", Number = 2, AtUs = 9, State = "acknowledged", Who = "physio", Why = "seen", Detail = "{}" };
        await store.WriteAsync(
            async transaction =>
            {
                Assert.True(await transaction.PutWarningAsync(acknowledged));
                Assert.True(await transaction.AddWarningChangeAsync(change));
                Assert.False(await transaction.AddWarningChangeAsync(change with { Why = "again" }));
            },
            Stop);
        Assert.Empty(await store.Warnings.ActiveAsync("amber", Stop));
        Assert.Equal(acknowledged, Assert.Single(await store.Warnings.RaisedAsync("amber", 0, 10, stop: Stop)));
        Assert.Equal(acknowledged, await store.Warnings.FindAsync("w", Stop));
        Assert.Equal(change, (await store.Warnings.HistoryAsync("w", Stop))[1]);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task Events_wait_in_order_until_they_are_taken_out(string kind)
    {
        await using var store = await OpenAsync(kind);
        await store.WriteAsync(
            async transaction =>
            {
                for (var number = 1; number <= 20; number++)
                {
                    await transaction.AddToOutboxAsync(Message($"{number}"));
                }
            },
            Stop);
        var first = await store.Outbox.AfterAsync(0, 10, Stop);
        Assert.Equal(Enumerable.Range(1, 10).Select(number => $"{number}"), first.Select(row => row.Id), StringComparer.Ordinal);
        await store.WriteAsync(transaction => transaction.RemoveFromOutboxAsync(first.Select(row => row.Number)), Stop);
        Assert.Equal("11", (await store.Outbox.AfterAsync(0, 1, Stop))[0].Id);
        await store.WriteAsync(transaction => transaction.RemoveFromOutboxBeforeAsync(6), Stop);
        Assert.Equal(0, await store.Outbox.CountAsync(Stop));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public async Task A_recording_stays_open_until_it_is_closed(string kind)
    {
        await using var store = await OpenAsync(kind);
        var recording = new RecordingRow { Id = "amber-1", Athlete = "amber", OpenedUs = 1 };
        Assert.True(await store.WriteAsync(transaction => transaction.OpenRecordingAsync(recording), Stop));
        Assert.Equal(recording, Assert.Single(await store.Sessions.OpenRecordingsAsync(Stop)));
        await store.WriteAsync(transaction => transaction.CloseRecordingAsync("amber-1", 7), Stop);
        Assert.Empty(await store.Sessions.OpenRecordingsAsync(Stop));
    }

    // SQLite documentation, "PRAGMA journal_mode" and "PRAGMA integrity_check".
    [Fact]
    public async Task The_embedded_database_keeps_a_write_ahead_log_and_is_sound()
    {
        var options = new StoreOptions { File = _folder.File("deeper/hall.db") };
        await using var store = await HallStore.OpenAsync(options, Stop);
        await AddAsync(store, MadeUp.Week(1, 2, 20));
        await using var connection = new SqliteConnection($"Data Source={options.File}");
        await connection.OpenAsync(Stop);
        Assert.Equal("wal", await ScalarAsync(connection, "pragma journal_mode"));
        Assert.Equal("ok", await ScalarAsync(connection, "pragma integrity_check"));
    }

    public void Dispose() => _folder.Dispose();

    internal static Task AddAsync(HallStore store, IEnumerable<JumpRow> rows) => store.WriteAsync(
        async transaction =>
        {
            foreach (var row in rows)
            {
                await transaction.AddJumpAsync(row);
            }
        },
        Stop);

    private static async Task<IEnumerable<long>> NumbersAsync(HallStore store, JumpFilter filter) =>
        (await store.Jumps.PageAsync(filter, Stop)).Jumps.Select(jump => jump.Number);

    private static async Task<string?> ScalarAsync(SqliteConnection connection, string statement)
    {
        await using var command = connection.CreateCommand();
        command.CommandText = statement;
        return (await command.ExecuteScalarAsync(Stop))?.ToString();
    }

    private static OutboxRow Message(string id) => new() { Id = id, Topic = "t", ContentType = "text/plain", Retain = true, Payload = "p", CreatedUs = 5 };

    private static WarningRow Warning(string id) => new()
    {
        Id = id,
        Athlete = "amber",
        Rule = "hard-series",
        Channel = "landing",
        Priority = "high",
        State = "active",
        Active = true,
        RaisedUs = 5,
        ChangedUs = 5,
        Detail = "{}",
    };

    private async Task<HallStore> OpenAsync(string kind) => await HallStore.OpenAsync(await engines.EmptyAsync(kind, _folder), Stop);
}
