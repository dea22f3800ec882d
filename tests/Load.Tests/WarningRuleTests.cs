using FsCheck.Xunit;
using Saltograph.Imu;

namespace Saltograph.Load.Tests;

public sealed class WarningRuleTests
{
    private static readonly LandingCountRule Landings = new() { Id = "hard" };

    [Fact]
    public void One_saturated_landing_warns_also_while_learning()
    {
        var change = Assert.Single(new WarningEngine(With(Landings)).Count(Made.Jump(1, 3, saturated: true)).Changes);
        Assert.Equal((WarningChannel.Landing, "left", WarningState.ActiveUnacknowledged), (change.Channel, change.Subject, change.To));
        Assert.Equal(["jump-1"], change.Detail.Jumps);
    }

    [Fact]
    public void Two_hard_landings_in_five_warn_once_and_ten_easy_ones_clear()
    {
        var engine = Learned(Landings);
        Assert.Empty(engine.Count(Made.Jump(101, 20)).Changes);
        Assert.Empty(engine.Count(Made.Jump(102)).Changes);
        Assert.Equal("2 hard landings within 5 landings, leg: left.", Assert.Single(engine.Count(Made.Jump(103, 20)).Changes).Detail.Text);
        Assert.Empty(engine.Count(Made.Jump(104, 20)).Changes);
        var easy = Enumerable.Range(105, 10).Select(i => engine.Count(Made.Jump(i, 10)).Changes.Count).ToList();
        Assert.Equal([0, 0, 0, 0, 0, 0, 0, 0, 0, 1], easy);
    }

    [Fact]
    public void Two_hard_landings_six_apart_do_not_warn_and_three_in_a_minute_do()
    {
        var engine = Learned(Landings);
        var changes = new List<WarningChange>();
        for (var i = 0; i < 13; i++)
        {
            changes.AddRange(engine.Count(Made.Jump(100 + i, i % 6 == 0 ? 20 : 10, atS: 2000 + (4 * i))).Changes);
        }

        var raised = Assert.Single(changes);
        Assert.Equal("3 hard landings within 60 s, leg: left.", raised.Detail.Text);
        Assert.Equal(["jump-100", "jump-106", "jump-112"], raised.Detail.Jumps);
    }

    [Fact]
    public void A_landing_warning_clears_five_minutes_after_the_last_hard_landing_and_not_by_landings_of_the_other_leg()
    {
        var engine = Learned(Landings);
        engine.Count(Made.Jump(101, 20));
        engine.Count(Made.Jump(102, 20));
        Assert.All(Enumerable.Range(103, 12), i => Assert.Empty(engine.Count(Made.Jump(i, 10, leg: Leg.Right)).Changes));
        var cleared = Assert.Single(engine.Advance(Made.Start.PlusSeconds(5000)));
        Assert.Equal((WarningCause.Cleared, Made.Start.PlusSeconds((102 * 20) + 300)), (cleared.Cause, cleared.Time));
    }

    [Fact]
    public void Landings_that_are_heard_late_and_together_count_by_when_they_were_landed()
    {
        static int Raised(double apartS)
        {
            var engine = Learned(Landings);
            engine.Advance(Made.Start.PlusSeconds(9000));
            return Enumerable.Range(0, 13).Sum(i => engine.Count(Made.Jump(100 + i, i % 6 == 0 ? 20 : 10, atS: 3000 + (apartS * i))).Changes.Count);
        }

        Assert.Equal(1, Raised(4));
        Assert.Equal(0, Raised(6));
    }

    [Fact]
    public void Jumps_of_before_teach_and_raise_nothing()
    {
        var engine = new WarningEngine(With(Landings, new ShockRiseRule { Id = "rise" }, new LimitRule { Id = "plan" }));
        var changes = Enumerable.Range(0, 160).SelectMany(i => engine.Learn(Made.Jump(i, i >= 150 ? 40 : Made.UsualShockG(i), saturated: i == 155))).ToList();
        Assert.Empty(changes);
        Assert.Empty(engine.Open);
        Assert.Empty(engine.Count(Made.Jump(155, 40, saturated: true)).Changes); // known

        // Twenty of them have taught what is usual.
        Assert.Equal(LandingClass.Hard, engine.Count(Made.Jump(200, 60)).Landing!.Class);
        var counted = Assert.Single(engine.SetLimits(new(Made.Athlete, LimitSource.Plan, Made.Start, Made.Start.PlusSeconds(86_400)) { Jumps = 100 }, Made.Start.PlusSeconds(5000)).Changes);
        Assert.Equal("Jumps: 161; limit 100.", counted.Detail.Text);
    }

    [Fact]
    public void Firm_and_unmeasured_landings_never_warn()
    {
        var engine = Learned(Landings);
        Assert.All(Enumerable.Range(101, 30), i => Assert.Empty(engine.Count(Made.Jump(i, i % 2 == 0 ? 11.5 : null)).Changes));
    }

    [Fact]
    public void A_one_sided_rise_warns_and_a_rise_on_both_sides_does_not()
    {
        static List<WarningChange> Run(bool both)
        {
            var engine = new WarningEngine(With(new ShockRiseRule { Id = "rise" }));
            return [.. Enumerable.Range(0, 160).SelectMany(i =>
            {
                var leg = i % 2 == 0 ? Leg.Right : Leg.Left;
                var rises = i >= 80 && i < 120 && (both || leg == Leg.Left);
                return engine.Count(Made.Jump(i, rises ? 14 : Made.UsualShockG(i / 2), leg: leg)).Changes;
            })];
        }

        var changes = Run(both: false);
        Assert.Equal([WarningCause.Raised, WarningCause.Cleared], changes.Select(change => change.Cause));
        Assert.All(changes, change => Assert.Equal("left-leap", change.Subject));
        Assert.Equal(12.5, changes[0].Detail.Limit);
        Assert.Empty(Run(both: true));
    }

    [Fact]
    public void Limits_of_the_day_warn_once_each_and_end_with_the_day()
    {
        var engine = new WarningEngine(With(new LimitRule { Id = "plan" }));
        engine.Count(Made.Jump(0));
        var day = new DayLimits(Made.Athlete, LimitSource.Plan, Made.Start, Made.Start.PlusSeconds(86_400)) { Jumps = 5, LeftLandings = 3, HeightM = 0.5, ShockG = 15 };
        Assert.Null(engine.SetLimits(day, Made.Start.PlusSeconds(1)).Fault);
        var changes = Enumerable.Range(1, 8).SelectMany(i => engine.Count(Made.Jump(i, i == 7 ? 16 : 10)).Changes).ToList();
        Assert.Equal(["left", "jumps", "shock"], changes.Select(change => change.Subject), StringComparer.Ordinal);
        Assert.Equal("Landings with the left leg: 4; limit 3.", changes[0].Detail.Text);
        Assert.All(changes, change => Assert.Equal(WarningChannel.Overload, change.Channel));
        Assert.Equal([day.To, day.To, day.To], engine.Advance(day.To.PlusSeconds(100)).Where(change => change.Cause == WarningCause.Cleared).Select(change => change.Time));
        Assert.Equal("To", engine.SetLimits(day, day.To.PlusSeconds(200)).Fault!.Where);
        Assert.Equal("ShockG", engine.SetLimits(day with { ShockG = double.NaN }, day.To).Fault!.Where);
    }

    [Theory]
    [InlineData(SensorFaultKind.Silent, 10, 12.345, "Sensor s-1, silent for 12.3 s; limit 10 s.")]
    [InlineData(SensorFaultKind.Battery, 15, 14, "Sensor s-1, battery at 14 %; limit 15 %.")]
    [InlineData(SensorFaultKind.Clipped, 20, 25, "Sensor s-1, at its rail in 25 % of the landings; limit 20 % of the landings.")]
    [InlineData(SensorFaultKind.Clock, 5, 6.25, "Sensor s-1, clock uncertain by 6.2 ms; limit 5 ms.")]
    [InlineData(SensorFaultKind.Loss, 5, 7.5, "Sensor s-1, samples lost: 7.5 %; limit 5 %.")]
    public void A_sensors_warning_says_its_figure_and_the_limit_with_their_unit(SensorFaultKind kind, double limit, double value, string text)
    {
        var engine = new WarningEngine(With(new SensorRule { Id = "rule", Kind = kind, RaiseAt = limit }));
        Assert.Equal(text, Assert.Single(engine.Report(new(Made.Athlete, new("s-1"), kind, value, Made.Start))).Detail.Text);
    }

    [Fact]
    public void Fatigue_is_advice_and_ends_with_the_session()
    {
        var engine = new WarningEngine(With(new FatigueRule { Id = "fatigue", Options = new() { FewestJumps = 12 } }));
        var changes = Enumerable.Range(0, 12).SelectMany(i => engine.Count(Made.Jump(i) with { HeightM = 0.40 - (0.01 * i) }).Changes).ToList();
        var raised = Assert.Single(changes);
        Assert.Equal((WarningChannel.Advice, WarningCause.Raised), (raised.Channel, raised.Cause));
        Assert.StartsWith("Height down by 8 cm from the first third of 12 jumps to the last; it counts from ", raised.Detail.Text, StringComparison.Ordinal);
        Assert.Equal(Made.Start.PlusSeconds((11 * 20) + 2700), Assert.Single(engine.Advance(Made.Start.PlusSeconds(9000))).Time);

        // Jumping higher and higher is no fatigue.
        var fresh = new WarningEngine(With(new FatigueRule { Id = "fatigue", Options = new() { FewestJumps = 12 } }));
        Assert.All(Enumerable.Range(0, 12), i => Assert.Empty(fresh.Count(Made.Jump(i) with { HeightM = 0.30 + (0.01 * i) }).Changes));
    }

    [Fact]
    public void Advice_on_fatigue_stays_until_the_change_is_well_below_what_counts()
    {
        // 2.5 cm count (MDC 1.96 sqrt(2) 0.9 cm): the last third is 3 cm lower, then 2 cm, which is 0.8 of it, then 1 cm.
        double[] heightsM = [.. Enumerable.Repeat(0.40, 9), .. Enumerable.Repeat(0.37, 3), .. Enumerable.Repeat(0.38, 6), .. Enumerable.Repeat(0.39, 5)];
        List<WarningChange> ChangesWith(double clearShare)
        {
            var engine = new WarningEngine(With(new FatigueRule { Id = "fatigue", Options = new() { FewestJumps = 12 }, ClearShare = clearShare }));
            return [.. heightsM.SelectMany((heightM, i) => engine.Count(Made.Jump(i) with { HeightM = heightM }).Changes)];
        }

        var changes = ChangesWith(0.75);
        Assert.Equal([(WarningCause.Raised, 11), (WarningCause.Cleared, 21)], changes.Select(change => (change.Cause, (int)((change.Time - Made.Start) / 20))));
        // What is told at the end is the last that counted: two of the last four at 0.37, two at 0.38.
        Assert.StartsWith("Height down by 2.5 cm from the first third of 14 jumps", changes[1].Detail.Text, StringComparison.Ordinal);
        Assert.True(ChangesWith(1)[1].Time < changes[1].Time);
    }

    // Landings and heights without any trend, from a seeded generator: at most one advice in 20 sessions of 80 jumps (own requirement).
    [Fact]
    public void Scatter_alone_is_no_advice()
    {
        var random = new Random(3);
        var engine = new WarningEngine(With(new FatigueRule { Id = "fatigue" }, new AsymmetryRule { Id = "asymmetry" }));
        var changes = Enumerable.Range(0, 1600).SelectMany(i => engine.Count(Made.Jump(
            i, 9 + (4 * random.NextDouble()), atS: (i / 80 * 86_400) + (i % 80 * 40), leg: random.Next(2) == 0 ? Leg.Left : Leg.Right)
            with
        { HeightM = 0.28 + (0.04 * random.NextDouble()) }).Changes).ToList();
        Assert.InRange(changes.Count(change => change.Cause == WarningCause.Raised), 0, 1);
    }

    [Fact]
    public void Asymmetry_needs_sessions_of_her_own_first()
    {
        var engine = new WarningEngine(With(new AsymmetryRule { Id = "asymmetry", FewestPerLeg = 5 }));
        List<WarningChange> Session(int number, double rightG) => [.. Enumerable.Range(0, 12).SelectMany(i =>
        {
            var leg = i % 2 == 0 ? Leg.Left : Leg.Right;
            return engine.Count(Made.Jump((100 * number) + i, leg == Leg.Left ? 10 : rightG, atS: (number * 86_400) + (i * 20), leg: leg)).Changes;
        })];

        Assert.Empty(Enumerable.Range(0, 5).SelectMany(number => Session(number, 12)));
        Assert.Empty(Session(5, 12.5));
        Assert.Equal(WarningChannel.Advice, Assert.Single(Session(6, 16)).Channel);
    }

    [Fact]
    public void A_low_battery_is_a_matter_of_the_sensor_channel()
    {
        var engine = new WarningEngine(With(new SensorRule { Id = "battery", Kind = SensorFaultKind.Battery, RaiseAt = 15, Deadband = 5 }));
        double[] percents = [40, 15, 18, 20, 21];
        var changes = percents.SelectMany((percent, i) => engine.Report(new(Made.Athlete, new("s-01"), SensorFaultKind.Battery, percent, Made.Start.PlusSeconds(i)))).ToList();
        Assert.Equal([WarningCause.Raised, WarningCause.Cleared], changes.Select(change => change.Cause));
        Assert.Equal(Made.Start.PlusSeconds(4), changes[1].Time);
        Assert.Equal(WarningChannel.Sensor, changes[0].Channel);
    }

    [Fact]
    public void No_kind_of_rule_takes_the_ratio_of_acute_to_chronic_load() => Assert.DoesNotContain(
        typeof(WarningRule).Assembly.GetTypes().Where(type => type.IsSubclassOf(typeof(WarningRule)) || type.Name.EndsWith("Watch", StringComparison.Ordinal))
            .SelectMany(type => type.GetFields(System.Reflection.BindingFlags.Instance | System.Reflection.BindingFlags.NonPublic)),
        field => field.FieldType == typeof(LoadCurvePoint) || field.FieldType == typeof(AcuteToChronic));

    [Fact]
    public void Faults_of_rules_say_where_found_and_allowed()
    {
        var rules = With(
            Landings with { Criteria = [new(LandingClass.Firm, 2)] },
            Landings with { Id = "hard", ClearAfterS = double.NaN },
            new SensorRule { Id = "Bad Id", Kind = SensorFaultKind.Loss, RaiseAt = -1 });
        Assert.Equal(
            ["Rules[0].Criteria[0].AtLeast", "Rules[0].Criteria[0].WithinLandings", "Rules[1].ClearAfterS", "Rules[1].Id", "Rules[2].Id", "Rules[2].RaiseAt"],
            rules.Faults().Select(fault => fault.Where),
            StringComparer.Ordinal);
        Assert.Contains("Rules[2].RaiseAt is -1; allowed: 0 to 86400.", Assert.Throws<ArgumentException>(() => new WarningEngine(rules)).Message, StringComparison.Ordinal);
        Assert.Empty(WarningRules.Proposed.Faults());
    }

    [Fact]
    public void A_jump_twice_counts_once()
    {
        var engine = new WarningEngine(With(Landings));
        Assert.NotNull(engine.Count(Made.Jump(1, 3, saturated: true)).Landing);
        var again = engine.Count(Made.Jump(1, 3, saturated: true));
        Assert.Null(again.Landing);
        Assert.Empty(again.Changes);
    }

    [Property(MaxTest = 40)]
    public void One_step_and_many_give_the_same_changes(int seed, byte[] pauses)
    {
        var jumps = Shuffled(seed);
        WarningEngine plain = new(WarningRules.Proposed), stepped = new(WarningRules.Proposed);
        var expected = jumps.SelectMany(jump => plain.Count(jump).Changes).ToList();
        expected.AddRange(plain.Advance(End));
        var found = new List<WarningChange>();
        for (var i = 0; i < jumps.Count; i++)
        {
            // Steps anywhere between the jump before and this one.
            var pauseS = pauses.Length == 0 ? 7 : pauses[i % pauses.Length];
            for (var at = stepped.Now; pauseS > 0 && at >= Made.Start && at < jumps[i].LandingTime; at = at.PlusSeconds(1 + (pauseS * 4)))
            {
                found.AddRange(stepped.Advance(at));
            }

            found.AddRange(stepped.Count(jumps[i]).Changes);
        }

        found.AddRange(stepped.Advance(End));
        Assert.Equivalent(expected, found, strict: true);
        Assert.NotEmpty(expected);
    }

    [Fact]
    public void A_dry_run_is_the_live_engine_over_stored_jumps()
    {
        var jumps = Shuffled(7);
        var engine = new WarningEngine(WarningRules.Proposed);
        var live = jumps.SelectMany(jump => engine.Count(jump).Changes).ToList();
        live.AddRange(engine.Advance(jumps[^1].LandingTime.PlusSeconds(2700)));
        CountedJump[] stored = [.. jumps];
        new Random(1).Shuffle(stored);
        var run = DryRun.Of(WarningRules.Proposed, stored);
        Assert.Equivalent(live, run.Changes, strict: true);
        var hard = run.Rules.Single(rule => rule.Rule == "hard-landings");
        Assert.Equal(live.Count(change => change is { Rule: "hard-landings", Cause: WarningCause.Raised }), hard.Raised);
        Assert.Equal(1, hard.Athletes);
        Assert.True(run.RaisedPerAthleteHour(WarningChannel.Landing) > 0);
    }

    private static SampleTime End => Made.Start.PlusSeconds(100_000);

    /// <summary>A training with hard and saturated landings in it, at least one.</summary>
    private static List<CountedJump> Shuffled(int seed)
    {
        var random = new Random(seed);
        var atS = 0.0;
        return [.. Enumerable.Range(0, 80).Select(i =>
        {
            atS += random.Next(10) == 0 ? 400 : 1 + (20 * random.NextDouble());
            var shockG = random.Next(8) == 0 ? 25 : 9 + (2 * random.NextDouble());
            return Made.Jump(i, shockG, atS, random.Next(2) == 0 ? Leg.Left : Leg.Right, saturated: i == 40);
        })];
    }

    private static WarningRules With(params WarningRule[] rules) => new() { Rules = rules };

    private static WarningEngine Learned(WarningRule rule)
    {
        var engine = new WarningEngine(With(rule));
        for (var i = 0; i < 40; i++)
        {
            engine.Count(Made.Jump(i, Made.UsualShockG(i / 2), leg: i % 2 == 0 ? Leg.Left : Leg.Right));
        }

        return engine;
    }
}
