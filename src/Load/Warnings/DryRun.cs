using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>How often one rule would have warned.</summary>
/// <param name="Rule">The rule.</param>
/// <param name="Channel">Its channel.</param>
/// <param name="Raised">How often a condition began.</param>
/// <param name="Athletes">How many athletes it concerned.</param>
public sealed record RuleTally(string Rule, WarningChannel Channel, int Raised, int Athletes);

/// <summary>"With these rules, how often would it have warned": the live engine, fed with what is stored. Nobody acknowledges in it.</summary>
/// <param name="Rules">One line a rule, in their order.</param>
/// <param name="WatchedS">Time under watch: the sum over athletes of first to last landing of each session, s.</param>
/// <param name="Changes">All changes, oldest first.</param>
public sealed record DryRun(IReadOnlyList<RuleTally> Rules, double WatchedS, IReadOnlyList<WarningChange> Changes)
{
    /// <summary>Runs the rules. Throws <see cref="ArgumentException"/> with every fault of them.</summary>
    /// <param name="rules">Rules to try.</param>
    /// <param name="jumps">Stored jumps in any order.</param>
    /// <param name="limits">Limits of the days; set at their start.</param>
    /// <param name="reports">Figures of sensors.</param>
    /// <param name="from">Begin of the stretch in question: what comes before only teaches. Null: everything is in question.</param>
    public static DryRun Of(
        WarningRules rules, IEnumerable<CountedJump> jumps, IEnumerable<DayLimits>? limits = null, IEnumerable<SensorReport>? reports = null, SampleTime? from = null)
    {
        var engine = new WarningEngine(rules);
        var stored = jumps.ToList();
        var steps = new List<(SampleTime Time, int Kind, string Id, Func<IReadOnlyList<WarningChange>> Take)>();
        steps.AddRange((limits ?? []).Select(limit => (limit.From, 0, limit.Athlete.Value, Step(() => engine.SetLimits(limit, limit.From).Changes))));
        steps.AddRange(stored.Select(jump => (jump.LandingTime, 1, jump.Id, Step(() => engine.Count(jump).Changes))));
        steps.AddRange((reports ?? []).Select(report => (report.Time, 2, report.Sensor.Value, Step(() => engine.Report(report)))));
        var changes = steps.OrderBy(step => step.Time).ThenBy(step => step.Kind).ThenBy(step => step.Id, StringComparer.Ordinal)
            .SelectMany(step => step.Take())
            .ToList();
        changes.AddRange(engine.Advance(engine.Now.PlusSeconds(rules.SessionGapS)));
        changes.RemoveAll(change => change.Time < from);
        var raised = changes.Where(change => change.Cause == WarningCause.Raised).ToLookup(change => change.Rule, StringComparer.Ordinal);
        return new(
            [.. rules.Rules.Select(rule => new RuleTally(rule.Id, rule.Channel, raised[rule.Id].Count(), raised[rule.Id].Select(change => change.Athlete).Distinct().Count()))],
            Watched(stored.Where(jump => !(jump.LandingTime < from)), rules.SessionGapS),
            changes);
    }

    /// <summary>Warnings of a channel for each hour that one athlete was watched; null without such time.</summary>
    public double? RaisedPerAthleteHour(WarningChannel channel) =>
        WatchedS > 0 ? Rules.Where(rule => rule.Channel == channel).Sum(rule => rule.Raised) * 3600 / WatchedS : null;

    private static Func<IReadOnlyList<WarningChange>> Step(Func<IReadOnlyList<WarningChange>> take) => take;

    private static double Watched(IEnumerable<CountedJump> jumps, double gapS) => jumps.GroupBy(jump => jump.Athlete).Sum(group =>
    {
        var times = group.Select(jump => jump.LandingTime).Order().ToList();
        return times.Zip(times.Skip(1), (earlier, later) => later - earlier).Where(pauseS => pauseS < gapS).Sum();
    });
}
