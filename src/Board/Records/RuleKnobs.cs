using Saltograph.Load;

namespace Saltograph.Board.Records;

/// <summary>A figure of a rule that staff try other values of.</summary>
/// <param name="Key">Key of its name, <c>knob.KEY</c>.</param>
/// <param name="Value">As it is.</param>
/// <param name="Turn">The rule with another value; what is not allowed the rules tell.</param>
public sealed record RuleKnob(string Key, double Value, Func<double, WarningRule> Turn);

/// <summary>The figures of each kind of rule that decide how often it warns.</summary>
public static class RuleKnobs
{
    /// <summary>Those of a rule, in the order of reading.</summary>
    public static IReadOnlyList<RuleKnob> Of(WarningRule rule) => rule switch
    {
        LandingCountRule landing => [.. landing.Criteria.SelectMany((criterion, i) => Of(landing, criterion, i))],
        ShockRiseRule rise => [new("risefactor", rise.RaiseFactor, value => rise with { RaiseFactor = value }), new("recentlandings", rise.RecentLandings, value => rise with { RecentLandings = Whole(value) })],
        LimitRule limit => [new("limitshare", limit.RaiseShare, value => limit with { RaiseShare = value })],
        FatigueRule fatigue => [new("fewestjumps", fatigue.Options.FewestJumps, value => fatigue with { Options = fatigue.Options with { FewestJumps = Whole(value) } })],
        AsymmetryRule asymmetry => [new("fewestperleg", asymmetry.FewestPerLeg, value => asymmetry with { FewestPerLeg = Whole(value) })],
        _ => [],
    };

    private static IEnumerable<RuleKnob> Of(LandingCountRule rule, LandingCriterion criterion, int at)
    {
        LandingCountRule With(LandingCriterion changed) => rule with { Criteria = [.. rule.Criteria.Select((each, i) => i == at ? changed : each)] };
        yield return new(criterion.AtLeast == LandingClass.Hard ? "hardcount" : "saturatedcount", criterion.Count, value => With(criterion with { Count = Whole(value) }));
        if (criterion.WithinLandings is { } landings)
        {
            yield return new("withinlandings", landings, value => With(criterion with { WithinLandings = Whole(value) }));
        }

        if (criterion.WithinS is { } seconds)
        {
            yield return new("withins", seconds, value => With(criterion with { WithinS = value }));
        }
    }

    private static int Whole(double value) => (int)Math.Clamp(Math.Round(value), int.MinValue, int.MaxValue);
}
