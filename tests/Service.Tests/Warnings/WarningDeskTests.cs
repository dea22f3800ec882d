using Json.Schema;
using Saltograph.Jumps;
using Saltograph.Load;
using Saltograph.Pipeline;
using Saltograph.Store.Rows;
using Saltograph.Testing;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Tests.Warnings;

/// <summary>A scripted training with planted episodes on a real store; the rules are the proposed ones.</summary>
public sealed class WarningDeskTests
{
    private const string Planned = "overload:plan.beryl.jumps landing:hard-landings.amber.left landing:hard-landings.amber.right sensor:sensor-silent.amber.a-left";

    private static readonly JsonSchema Schema = JsonSchema.FromFile(Path.Combine(Repository.Root, "src", "Service", "Schemas", "warning.schema.json"));

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_training_with_planted_episodes_raises_exactly_these_each_in_its_channel()
    {
        await using var hall = await DeskHarness.StartAsync();
        await TrainAsync(hall, _ => false);
        Assert.Equal(Planned, await hall.RaisedTextAsync());

        var told = await hall.ToldAsync();
        Assert.All(told, row => Assert.True(CloudEventReader.TryRead(System.Text.Encoding.UTF8.GetBytes(row.Payload), out var found).IsAccepted && Schema.Evaluate(found!.Data!.Value).IsValid, row.Payload));
        Assert.All(told, row => Assert.Equal(row.Payload.Contains("sensor-silent", StringComparison.Ordinal), row.Payload.Contains($"\"type\":\"{EventTypes.Sensor}\"", StringComparison.Ordinal)));
        Assert.Equal(told.Count, told.Select(row => row.Id).Distinct(StringComparer.Ordinal).Count());
        Assert.Contains(told, row => row.Topic == "saltograph/v1/test-hall/athletes/amber/warnings");

        // Faults of sensors never come on the athletes' topics.
        Assert.All(told, row => Assert.Equal(
            row.Payload.Contains("sensor-silent", StringComparison.Ordinal), row.Topic == "saltograph/v1/test-hall/sensors/a-left/faults"));
    }

    // The clock of the desk ticks when it likes; a fault of a sensor begins when the data say so.
    [Theory]
    [InlineData(1)]
    [InlineData(2.7)]
    [InlineData(3)]
    public async Task A_silent_sensor_is_one_warning_whose_id_does_not_depend_on_the_tick(double tickS)
    {
        await using var hall = await DeskHarness.StartAsync();
        await hall.SensorAsync("amber", "a-left", SensorFactKind.Silent);
        for (var passedS = 0.0; passedS < 30; passedS += tickS)
        {
            hall.Time.Advance(TimeSpan.FromSeconds(tickS));
            await hall.Desk.TickAsync(Stop);
            if (passedS < 9 && passedS + tickS >= 9)
            {
                await hall.RestartAsync();
            }
        }

        var expectedUs = (DeskHarness.Begin.ToUnixTimeMilliseconds() + 10_000) * 1000;
        Assert.Equal($"sensor-silent.amber.a-left.{expectedUs}", Assert.Single(await hall.RaisedAsync()).Id);
        await hall.SensorAsync("amber", "a-left", SensorFactKind.Returned);
        await hall.PassAsync(6);
        await hall.RestartAsync();
        await hall.PassAsync(6);
        Assert.Equal("returned-unacknowledged", Assert.Single(await hall.RaisedAsync()).State);
    }

    [Fact]
    public async Task Battery_clock_and_clipped_landings_are_faults_of_the_sensor()
    {
        await using var hall = await DeskHarness.StartAsync();
        await hall.Desk.BatteryAsync(new("a-left"), 12, Stop);
        await hall.SensorAsync("amber", "a-left", SensorFactKind.ClockRestart);
        for (var i = 0; i < 20; i++)
        {
            await hall.LandAsync("amber", Foot.Left, 15, clipped: i % 4 == 0); // 25 per cent
            await hall.PassAsync(5);
        }

        await hall.Desk.BatteryAsync(new("b-trunk"), 80, Stop);
        await hall.SensorAsync("amber", "a-left", SensorFactKind.ClockSynchronised);
        await hall.PassAsync(6);
        var faults = (await hall.RaisedAsync()).Where(row => row.Channel == "sensor").ToList();
        Assert.Equal(
            ["sensor-battery.amber.a-left active-unacknowledged", "sensor-clipped.amber.a-left active-unacknowledged", "sensor-clock.amber.a-left returned-unacknowledged"],
            faults.Select(row => $"{string.Join('.', row.Id.Split('.')[..3])} {row.State}").Order(StringComparer.Ordinal),
            StringComparer.Ordinal);
    }

    // Key 12 of the packet (contract of the packet) counts as the state does: at 15 for a minute it is told, above 20 it returns.
    [Fact]
    public async Task A_battery_that_packets_tell_is_judged_as_that_of_the_state_also_after_a_restart()
    {
        await using var hall = await DeskHarness.StartAsync();
        await hall.SensorAsync("amber", "a-left", SensorFactKind.Battery, count: 16);
        await hall.PassAsync(70);
        Assert.Empty(await hall.RaisedAsync());
        await hall.SensorAsync("amber", "a-left", SensorFactKind.Battery, count: 15);
        await hall.PassAsync(30);
        await hall.RestartAsync();
        await hall.PassAsync(40);
        Assert.Equal("sensor:sensor-battery.amber.a-left", await hall.RaisedTextAsync());
        await hall.SensorAsync("amber", "a-left", SensorFactKind.Battery, count: 19);
        await hall.PassAsync(10);
        Assert.Equal("active-unacknowledged", Assert.Single(await hall.RaisedAsync()).State); // inside the deadband
        await hall.SensorAsync("amber", "a-left", SensorFactKind.Battery, count: 95);
        await hall.PassAsync(10);
        Assert.Equal("returned-unacknowledged", Assert.Single(await hall.RaisedAsync()).State);
    }

    // The database is held by somebody else; the desk gives up waiting in the middle of the command.
    [Fact]
    public async Task A_command_that_could_not_be_stored_says_so_counts_once_and_is_told_even_when_only_the_answer_was_lost()
    {
        await using var hall = await DeskHarness.StartAsync();
        await TrainAsync(hall, _ => false);
        var plan = (await hall.RaisedAsync()).Single(row => row.Rule == "plan").Id;
        hall.Heard.Clear();
        var held = new TaskCompletionSource();
        using var patience = new CancellationTokenSource();
        var holding = hall.Store.WriteAsync(async _ => await held.Task, Stop);
        var command = hall.Desk.AcknowledgeAsync(plan, "coach-1", "enough", patience.Token);
        await patience.CancelAsync();
        var waiting = await Assert.ThrowsAsync<Service.Warnings.NotStoredYetException>(() => command);
        Assert.Contains("It counts", waiting.Message, StringComparison.Ordinal);
        Assert.Empty(hall.Heard);

        // As if its transaction had been committed after all: the change is in the store before it is written again.
        held.SetResult();
        await holding;
        var number = (await hall.Store.Warnings.HistoryAsync(plan, Stop))[^1].Number + 1;
        await hall.Store.WriteAsync(
            transaction => transaction.AddWarningChangeAsync(new() { Warning = plan, Number = number, AtUs = hall.Now.Microseconds, State = "acknowledged", Who = "coach-1", Why = "enough" }), Stop);
        await hall.PassAsync(2);
        Assert.Equal(WarningState.Acknowledged, Assert.Single(hall.Heard).To);
        Assert.Equal("acknowledged", Assert.Single(await hall.Store.Warnings.HistoryAsync(plan, Stop), change => change.Number == number).State);
        await hall.RestartAsync();
        Assert.Equal(WarningState.Acknowledged, (await hall.Desk.OpenAsync(Stop)).Single(warning => warning.LastChange.WarningId == plan).State);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public async Task A_process_that_dies_again_and_again_tells_the_same_warnings_once(int seed)
    {
        await using var hall = await DeskHarness.StartAsync();
        var random = new Random(seed);
        await TrainAsync(hall, _ => random.Next(12) == 0);
        Assert.Equal(Planned, await hall.RaisedTextAsync());
        var told = await hall.ToldAsync();
        await hall.RestartAsync();
        await hall.PassAsync(2);
        Assert.Equal(told.Select(row => row.Id), (await hall.ToldAsync()).Select(row => row.Id), StringComparer.Ordinal);
    }

    // As a store that was filled before there were warnings.
    [Fact]
    public async Task What_was_stored_days_before_anything_was_judged_raises_nothing_and_the_next_warning_begins_at_its_beginning()
    {
        await using var hall = await DeskHarness.StartAsync();
        await hall.LandAsync("amber", Foot.Left, 20, clipped: true, dies: true, agoS: 2 * 86_400);
        await hall.RestartAsync();
        await hall.PassAsync(400);
        Assert.Empty(await hall.RaisedAsync());
        Assert.Empty(await hall.Desk.OpenAsync(Stop));

        await hall.LandAsync("amber", Foot.Left, 20, clipped: true);
        await hall.PassAsync(6);
        Assert.Equal([1], (await hall.Store.Warnings.HistoryAsync(Assert.Single(await hall.RaisedAsync()).Id, Stop)).Select(change => change.Number));
    }

    [Fact]
    public async Task A_landing_before_the_very_first_judgement_is_judged_after_the_process_died()
    {
        await using var hall = await DeskHarness.StartAsync();
        await hall.LandAsync("amber", Foot.Left, 20, clipped: true, dies: true);
        await hall.RestartAsync();
        await hall.PassAsync(5);
        Assert.Single(await hall.RaisedAsync());
    }

    [Fact]
    public async Task The_class_of_a_landing_is_beside_the_record_in_the_event_and_in_the_store()
    {
        await using var hall = await DeskHarness.StartAsync();
        var first = await hall.LandAsync("amber", Foot.Left, 10);
        for (var i = 0; i < 25; i++)
        {
            await hall.PassAsync(5);
            await hall.LandAsync("amber", Foot.Left, 10 + (0.1 * (i % 5)));
        }

        await hall.RestartAsync(); // the history is that of the store
        var hard = await hall.LandAsync("amber", Foot.Left, 25);
        Assert.Equal("learning", (await hall.Store.Jumps.FindAsync(first, Stop))!.LandingClass);
        Assert.Equal("hard", (await hall.Store.Jumps.FindAsync(hard, Stop))!.LandingClass);
        var message = (await hall.Store.Outbox.AfterAsync(0, 1000, Stop)).Single(row => row.Id == hard);
        Assert.Contains("\"landingclass\":\"hard\"", message.Payload, StringComparison.Ordinal);
        Assert.True(CloudEventReader.TryRead(System.Text.Encoding.UTF8.GetBytes(message.Payload), out var told).IsAccepted);
        Assert.False(told!.Data!.Value.TryGetProperty("landingclass", out _));
    }

    [Fact]
    public async Task Staff_acknowledge_shelve_and_take_out_of_service_and_it_survives_a_restart()
    {
        await using var hall = await DeskHarness.StartAsync();
        await TrainAsync(hall, _ => false);
        var open = (await hall.Desk.OpenAsync(Stop)).Select(warning => warning.LastChange).ToList();
        var plan = open.Single(change => change.Rule == "plan").WarningId;

        Assert.Null(await hall.Desk.AcknowledgeAsync(plan, "coach-1", "enough for today", Stop));
        await hall.RestartAsync();
        Assert.Equal(WarningState.Acknowledged, await StateAsync(plan));

        Assert.Null(await hall.Desk.ShelveAsync(plan, hall.Time.GetUtcNow().AddMinutes(2), "coach-1", "competition", Stop));
        Assert.Equal(WarningState.Shelved, await StateAsync(plan));
        await hall.PassAsync(60);
        await hall.RestartAsync();
        Assert.Equal(WarningState.Shelved, await StateAsync(plan));
        await hall.PassAsync(70);
        Assert.Equal(WarningState.ActiveUnacknowledged, await StateAsync(plan)); // the shelving ended, the plan is still exceeded

        Assert.Null(await hall.Desk.TakeOutOfServiceAsync("plan", "beryl", "physio-1", "other plan on paper", Stop));
        await hall.RestartAsync();
        Assert.Equal(WarningState.OutOfService, await StateAsync(plan));
        Assert.Equal("plan", Assert.Single(await hall.Desk.OutOfServiceAsync(Stop)).Rule);
        Assert.Null(await hall.Desk.ReturnToServiceAsync("plan", "beryl", "physio-1", "entered", Stop));
        var history = await hall.Store.Warnings.HistoryAsync(plan, Stop);
        Assert.Equal(
            "active-unacknowledged acknowledged shelved active-unacknowledged out-of-service active-unacknowledged",
            string.Join(' ', history.Select(change => change.State)));
        Assert.Equal("coach-1", history[1].Who);
        Assert.Equal("enough for today", history[1].Why);

        async Task<WarningState> StateAsync(string id) => (await hall.Desk.OpenAsync(Stop)).Single(warning => warning.LastChange.WarningId == id).State;
    }

    [Fact]
    public async Task A_command_that_is_not_allowed_says_what_where_and_allowed_and_changes_nothing()
    {
        await using var hall = await DeskHarness.StartAsync();
        await TrainAsync(hall, _ => false);
        var plan = (await hall.RaisedAsync()).Single(row => row.Rule == "plan").Id;
        var before = (await hall.ToldAsync()).Count;

        Assert.Equal("warningId is 'none'; allowed: the id of an open warning.", (await hall.Desk.AcknowledgeAsync("none", "coach-1", "x", Stop))?.ToString());
        Assert.Equal("who", (await hall.Desk.AcknowledgeAsync(plan, "Coach One", "x", Stop))?.Where);
        Assert.Equal("why", (await hall.Desk.AcknowledgeAsync(plan, "coach-1", " ", Stop))?.Where);
        Assert.Contains("2027-03-01T14:00:00.000000Z; allowed: after 2027-03-01T", (await hall.Desk.ShelveAsync(plan, DeskHarness.Begin.AddHours(-1), "coach-1", "x", Stop))?.ToString(), StringComparison.Ordinal);
        Assert.Equal("until", (await hall.Desk.ShelveAsync(plan, DeskHarness.Begin.AddDays(3), "coach-1", "x", Stop))?.Where);
        Assert.Contains("allowed: Shelved", (await hall.Desk.UnshelveAsync(plan, "coach-1", "x", Stop))?.ToString(), StringComparison.Ordinal);
        Assert.Contains("hard-landings", (await hall.Desk.TakeOutOfServiceAsync("none", "beryl", "coach-1", "x", Stop))?.Allowed, StringComparison.Ordinal);
        Assert.Equal("an athlete of the roster", (await hall.Desk.TakeOutOfServiceAsync("plan", "nobody", "coach-1", "x", Stop))?.Allowed);
        Assert.Equal("a rule out of service", (await hall.Desk.ReturnToServiceAsync("plan", "beryl", "coach-1", "x", Stop))?.Allowed);
        Assert.Equal(before, (await hall.ToldAsync()).Count);
    }

    [Fact]
    public async Task Limits_begin_at_the_halls_midnight_and_end_with_its_day()
    {
        // Midnight of the hall is 23:00 UTC in winter.
        await using var hall = await DeskHarness.StartAsync(zone: "Europe/Berlin");
        await hall.PlanAsync("beryl", "{\"jumps\":2}", "2027-03-02");
        hall.Time.SetUtcNow(new(2027, 3, 1, 22, 59, 30, TimeSpan.Zero));
        for (var i = 0; i < 3; i++)
        {
            await hall.PassAsync(5);
            await hall.LandAsync("beryl", Foot.Left, 10); // still the first of March there
        }

        await hall.PassAsync(30);
        Assert.Empty(await hall.RaisedAsync());
        for (var i = 0; i < 3; i++)
        {
            await hall.LandAsync("beryl", Foot.Left, 10);
            await hall.PassAsync(5);
        }

        Assert.Equal("overload:plan.beryl.jumps", await hall.RaisedTextAsync());
        await hall.PlanAsync("beryl", "{\"jumps\":20}", "2027-03-02"); // staff allow more
        await hall.PassAsync(6);
        Assert.Equal("returned-unacknowledged", Assert.Single(await hall.RaisedAsync()).State);
    }

    [Fact]
    public async Task A_plan_that_cannot_be_read_is_left_out_and_the_others_count()
    {
        await using var hall = await DeskHarness.StartAsync();
        await hall.PlanAsync("amber", "{\"leaps\":2}");
        await hall.PlanAsync("beryl", "{\"jumps\":0}", kind: PlanRow.ReturnToPlayKind);
        await hall.PassAsync(1);
        await hall.LandAsync("beryl", Foot.Left, 10);
        await hall.PassAsync(5);
        Assert.Equal("overload:return-to-play.beryl.jumps", await hall.RaisedTextAsync());
    }

    // 15 minutes of two gymnasts. dies: asked before each landing.
    private static async Task TrainAsync(DeskHarness hall, Func<int, bool> dies)
    {
        await hall.PlanAsync("beryl", "{\"jumps\":40}");
        for (var i = 0; i < 60; i++)
        {
            await hall.PassAsync(7);
            var foot = i % 2 == 0 ? Foot.Left : Foot.Right;
            var usualG = 10 + (0.2 * (i / 2 % 5));
            var amberG = i is 50 or 54 ? 26 : usualG; // two hard among five landings of the left leg
            await LandAsync("amber", foot, amberG, clipped: i == 57); // and one at the rail of the right
            if (i < 41)
            {
                await LandAsync("beryl", foot, usualG + 1, clipped: false); // one more than planned
            }

            async Task LandAsync(string athlete, Foot leg, double shockG, bool clipped)
            {
                var isLast = dies(i);
                await hall.LandAsync(athlete, leg, shockG, clipped, dies: isLast);
                if (isLast)
                {
                    await hall.RestartAsync();
                }
            }
        }

        await hall.PassAsync(20);
        await hall.SensorAsync("amber", "a-left", SensorFactKind.Silent);
        await hall.PassAsync(20);
    }
}
