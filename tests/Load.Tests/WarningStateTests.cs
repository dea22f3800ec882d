using FsCheck.Xunit;
using Saltograph.Imu;

namespace Saltograph.Load.Tests;

// The words and transitions are those of ANSI/ISA-18.2 and IEC 62682, from memory; OPC UA Part 9 has the same model in public.
public sealed class WarningStateTests
{
    private static readonly SensorId Sensor = new("s-01");

    // Own scenario: limit 10, deadband 1, values 9, 10.2, 9.6, 10.1, 8.9: one activation at the second, one return at the fifth.
    [Fact]
    public void A_deadband_keeps_one_warning_one()
    {
        var changes = Reports(new Engine(Rule() with { Deadband = 1 }), 9, 10.2, 9.6, 10.1, 8.9);
        Assert.Equal([WarningCause.Raised, WarningCause.Cleared], changes.Select(change => change.Cause));
        Assert.Equal([At(1), At(4)], changes.Select(change => change.Time));
        Assert.Equal(WarningState.ReturnedUnacknowledged, changes[^1].To);
    }

    // Own scenario: on-delay of two steps, values 9, 10.2, 9.6, 10.1, 10.3, 10.4: a value below the limit starts it anew, and it is raised at the sixth.
    [Fact]
    public void An_on_delay_begins_anew_when_the_value_falls_back()
    {
        var engine = new Engine(Rule() with { OnDelayS = 2 });
        var change = Assert.Single(Reports(engine, 9, 10.2, 9.6, 10.1, 10.3, 10.4));
        Assert.Equal((At(5), WarningCause.Raised), (change.Time, change.Cause));
    }

    [Fact]
    public void Acknowledging_does_not_end_the_condition()
    {
        var engine = new Engine(Rule());
        var id = Reports(engine, 12)[0].WarningId;
        Assert.Equal($"rule.a-01.s-01.{At(0).Microseconds}", id);
        var acknowledged = Assert.Single(engine.Inner.Acknowledge(id, "coach-1", "strap tightened", At(1)).Changes);
        Assert.Equal((WarningState.ActiveUnacknowledged, WarningState.Acknowledged), (acknowledged.From, acknowledged.To));
        Assert.Equal("coach-1: strap tightened", $"{acknowledged.Who}: {acknowledged.Why}");
        Assert.True(Assert.Single(engine.Inner.Open).IsActive);
        Assert.Equal(WarningState.Normal, Assert.Single(engine.Report(5, At(2))).To);
        Assert.Empty(engine.Inner.Open);
    }

    [Fact]
    public void Of_an_athlete_who_is_forgotten_nothing_is_open_and_what_comes_again_is_new()
    {
        var engine = new Engine(Rule());
        var first = Reports(engine, 12)[0];
        engine.Inner.Forget(new("somebody-else"));
        Assert.Single(engine.Inner.Open);
        engine.Inner.Forget(Made.Athlete);
        Assert.Empty(engine.Inner.Open);
        Assert.Empty(engine.Inner.Advance(At(1)));
        var again = Assert.Single(engine.Report(12, At(2)));
        Assert.Equal((1, WarningCause.Raised), (again.Number, again.Cause));
        Assert.NotEqual(first.WarningId, again.WarningId, StringComparer.Ordinal);
    }

    [Fact]
    public void A_returned_warning_stays_until_acknowledged_and_keeps_its_id_when_it_comes_again()
    {
        var engine = new Engine(Rule());
        var changes = Reports(engine, 12, 5, 12, 5);
        Assert.Single(changes.Select(change => change.WarningId).Distinct(StringComparer.Ordinal));
        Assert.Equal([1, 2, 3, 4], changes.Select(change => change.Number));
        Assert.Equal(WarningState.Normal, Assert.Single(engine.Inner.Acknowledge(changes[0].WarningId, "coach-1", "seen", At(9)).Changes).To);
        Assert.NotEqual(changes[0].WarningId, Assert.Single(engine.Report(12, At(10))).WarningId, StringComparer.Ordinal);
    }

    [Fact]
    public void A_shelving_ends_by_itself_and_tells_what_still_holds()
    {
        var engine = new Engine(Rule());
        var id = Reports(engine, 12)[0].WarningId;
        var shelved = Assert.Single(engine.Inner.Shelve(id, At(100), "coach-1", "known", At(1)).Changes);
        Assert.Equal((WarningState.Shelved, At(100)), (shelved.To, shelved.ShelvedUntil));
        Assert.Empty(Reports(engine, 5, 12));
        Assert.Equal(WarningState.Shelved, Assert.Single(engine.Inner.Open).State);
        var ended = Assert.Single(engine.Inner.Advance(At(5000)));
        Assert.Equal((WarningCause.ShelfEnded, WarningState.ActiveUnacknowledged, At(100), true), (ended.Cause, ended.To, ended.Time, ended.Announce));

        engine.Inner.Shelve(id, At(6000), "coach-1", "known", At(5001));
        engine.Report(5, At(5002));
        Assert.Equal(WarningState.Normal, Assert.Single(engine.Inner.Unshelve(id, "coach-1", "mended", At(5003)).Changes).To);
    }

    [Fact]
    public void Out_of_service_is_silent_until_put_back()
    {
        var engine = new Engine(Rule());
        Assert.Null(engine.Inner.TakeOutOfService("rule", Made.Athlete, "coach-1", "sensor away", At(0)).Fault);
        Assert.Empty(Reports(engine, 12));
        Assert.Equal(("rule", Made.Athlete), Assert.Single(engine.Inner.OutOfService));
        var back = Assert.Single(engine.Inner.PutBack("rule", Made.Athlete, "coach-1", "sensor here", At(50)).Changes);
        Assert.Equal((WarningState.ActiveUnacknowledged, WarningCause.PutBack, true), (back.To, back.Cause, back.Announce));
    }

    [Fact]
    public void A_warning_that_stays_is_announced_again()
    {
        var engine = new Engine(Rule() with { ReAlarmAfterS = 600 });
        var id = Reports(engine, 12)[0].WarningId;
        engine.Inner.Acknowledge(id, "coach-1", "seen", At(10));
        var again = engine.Inner.Advance(At(1300));
        Assert.Equal([At(610), At(1210)], again.Select(change => change.Time));
        Assert.All(again, change => Assert.True(change is { To: WarningState.ActiveUnacknowledged, Announce: true, Cause: WarningCause.ReAlarmed }));
    }

    [Fact]
    public void Commands_that_cannot_be_are_refused_with_what_is_allowed_and_change_nothing()
    {
        var engine = new Engine(Rule());
        var id = Reports(engine, 12)[0].WarningId;
        Assert.Equal("warningId is 'x'; allowed: the id of an open warning.", engine.Inner.Acknowledge("x", "coach-1", "seen", At(1)).Fault!.ToString());
        Assert.Equal("who", engine.Inner.Acknowledge(id, "Some Name", "seen", At(1)).Fault!.Where);
        Assert.Equal("why", engine.Inner.Acknowledge(id, "coach-1", " ", At(1)).Fault!.Where);
        Assert.Equal("until", engine.Inner.Shelve(id, At(100_000), "coach-1", "known", At(1)).Fault!.Where);
        Assert.Contains("allowed: Shelved", engine.Inner.Unshelve(id, "coach-1", "known", At(1)).Fault!.ToString(), StringComparison.Ordinal);
        Assert.Contains("allowed: rule", engine.Inner.TakeOutOfService("other", Made.Athlete, "coach-1", "why", At(1)).Fault!.ToString(), StringComparison.Ordinal);
        Assert.Equal(WarningState.ActiveUnacknowledged, Assert.Single(engine.Inner.Open).State);
    }

    // More than 10 announcements in 10 min are a flood: guideline number of process plants, from memory.
    [Fact]
    public void A_flood_is_grouped_and_ends_when_it_has_passed()
    {
        var engine = new WarningEngine(new() { Rules = [Rule()] });
        var changes = Enumerable.Range(0, 13).SelectMany(i => engine.Report(new(Made.Athlete, new($"s-{i}"), SensorFaultKind.Loss, 50, At(i)))).ToList();
        Assert.All(changes.Take(10), change => Assert.Null(change.FloodGroup));
        Assert.Equal(3, changes.Count(change => change.FloodGroup == $"flood.sensor.{At(10).Microseconds}"));
        Assert.Null(Assert.Single(engine.Report(new(Made.Athlete, new("s-99"), SensorFaultKind.Loss, 50, At(1000)))).FloodGroup);
    }

    [Property]
    public void The_machine_never_skips_a_state_and_numbers_every_change(byte[] actions)
    {
        var engine = new Engine(Rule() with { ReAlarmAfterS = 60 });
        var changes = new List<WarningChange>();
        for (var i = 0; i < actions.Length; i++)
        {
            var at = At(20 * i);
            var id = engine.Inner.Open is [{ } open, ..] ? open.LastChange.WarningId : "none";
            changes.AddRange((actions[i] % 8) switch
            {
                0 or 1 => engine.Report(12, at),
                2 or 3 => engine.Report(5, at),
                4 => engine.Inner.Acknowledge(id, "coach-1", "seen", at).Changes,
                5 => engine.Inner.Shelve(id, at.PlusSeconds(50), "coach-1", "known", at).Changes,
                6 => engine.Inner.TakeOutOfService("rule", Made.Athlete, "coach-1", "away", at).Changes,
                _ => engine.Inner.PutBack("rule", Made.Athlete, "coach-1", "here", at).Changes,
            });
        }

        foreach (var warning in changes.GroupBy(change => change.WarningId, StringComparer.Ordinal))
        {
            var state = warning.First().From;
            Assert.True(state is WarningState.Normal or WarningState.OutOfService);
            var number = 0;
            foreach (var change in warning)
            {
                Assert.Equal(state, change.From);
                Assert.Equal(++number, change.Number);
                Assert.Equal(change.Who is null, change.Cause is WarningCause.Raised or WarningCause.Cleared or WarningCause.ReAlarmed or WarningCause.ShelfEnded);
                Assert.False(change is { From: WarningState.Normal, To: not (WarningState.ActiveUnacknowledged or WarningState.OutOfService) });
                Assert.False(change is { From: WarningState.ReturnedUnacknowledged, To: WarningState.Acknowledged });
                Assert.False(change is { From: WarningState.ActiveUnacknowledged, To: WarningState.Normal });
                state = change.To;
            }
        }

        Assert.Equal(changes.OrderBy(change => change.Time).Select(change => change.Time), changes.Select(change => change.Time));
    }

    private static SensorRule Rule() => new() { Id = "rule", Kind = SensorFaultKind.Loss, RaiseAt = 10 };

    private static SampleTime At(double seconds) => Made.Start.PlusSeconds(seconds);

    private static List<WarningChange> Reports(Engine engine, params double[] values)
    {
        var start = engine.Inner.Now < Made.Start ? Made.Start : engine.Inner.Now;
        return [.. values.SelectMany((value, i) => engine.Report(value, start.PlusSeconds(i)))];
    }

    private sealed class Engine(WarningRule rule)
    {
        public WarningEngine Inner { get; } = new(new() { Rules = [rule] });

        public IReadOnlyList<WarningChange> Report(double value, SampleTime at) => Inner.Report(new(Made.Athlete, Sensor, SensorFaultKind.Loss, value, at));
    }
}
