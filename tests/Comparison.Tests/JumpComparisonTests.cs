using FsCheck;
using FsCheck.Fluent;
using FsCheck.Xunit;
using Saltograph.Imu;

namespace Saltograph.Comparison.Tests;

public sealed class JumpComparisonTests
{
    private const string Flight = "flightTimeS";
    private const string Shock = "landingShockG.ankleLeft";

    [Fact]
    public void Two_jumps_with_stated_uncertainties_are_judged_by_them()
    {
        var found = Find(JumpComparison.Of([Jump(Flight, 0.40, 0.003)], [Jump(Flight, 0.42, 0.004)]), Flight);
        Assert.Equal(0.02, found.Difference!.Value, 1e-12);
        Assert.Equal(0.005, found.StandardUncertainty!.Value, 1e-12); // 3-4-5
        Assert.Equal(UncertaintyBasis.Records, found.StandardUncertaintyBasis);
        Assert.Equal(1.96 * 0.005, found.DetectableChange!.Value, 1e-6);
        Assert.Equal(0.02 - (1.96 * 0.005), found.Interval95!.Value.Low, 1e-6);
        Assert.Equal(Verdict.Larger, found.Verdict);
        Assert.Equal("longer in the air", found.Words);
    }

    [Fact]
    public void Two_jumps_without_stated_uncertainties_are_too_few()
    {
        var found = Find(JumpComparison.Of([Jump(Flight, 0.40)], [Jump(Flight, 0.60)]), Flight);
        Assert.Equal(Verdict.TooFewJumps, found.Verdict);
        Assert.Equal(0.2, found.Difference!.Value, 1e-12);
        Assert.Null(found.DetectableChange);
        Assert.Null(found.Interval95);
    }

    [Fact]
    public void Groups_are_judged_by_their_spread()
    {
        var found = Find(JumpComparison.Of(Jumps(Flight, 0.40, 0.41, 0.42), Jumps(Flight, 0.50, 0.51, 0.52)), Flight);
        Assert.Equal(UncertaintyBasis.Spread, found.StandardUncertaintyBasis);
        Assert.Equal(0.01 * Math.Sqrt(2.0 / 3), found.StandardUncertainty!.Value, 1e-12);
        Assert.Equal(1.96 * 0.01 * Math.Sqrt(2.0 / 3), found.DetectableChange!.Value, 1e-6);
        Assert.Equal(1.96 * 0.01 * Math.Sqrt(2), found.DetectableChangeOfTwoJumps!.Value, 1e-6);
        Assert.Equal(Verdict.Larger, found.Verdict);
        Assert.Equal(10 * (1 - (3.0 / 15)), found.HedgesG!.Value, 1e-9); // difference of ten deviations, df 4
    }

    [Fact]
    public void A_difference_inside_the_scatter_is_not_told()
    {
        var found = JumpComparison.Of(Jumps(Flight, 0.40, 0.44, 0.48), Jumps(Flight, 0.42, 0.46, 0.50));
        Assert.Equal(Verdict.NoChangeCanBeTold, Find(found, Flight).Verdict);
        Assert.Empty(found.MostDifferent);
    }

    [Fact]
    public void What_was_not_measured_takes_no_part_and_is_counted()
    {
        ComparedJump[] b = [.. Jumps(Flight, 0.50, 0.51, 0.52), Jump("heightM", 0.3)];
        var found = JumpComparison.Of(Jumps(Flight, 0.40, 0.41, 0.42), b);
        Assert.Equal(3, Find(found, Flight).B!.Count);
        Assert.Equal(1, Find(found, Flight).B!.Missing);
        Assert.Equal(0.51, Find(found, Flight).B!.Mean, 1e-12);
        Assert.Equal(Verdict.NotMeasured, Find(found, "heightM").Verdict);
        Assert.Null(Find(found, "heightM").Difference);
        Assert.Equal(Verdict.NotMeasured, Find(found, "splitAngleDeg").Verdict);
    }

    [Fact]
    public void A_landing_at_the_rail_is_at_least_as_hard()
    {
        ComparedJump[] railed = [Jump(Shock, 32, atLeast: true), Jump(Shock, 24), Jump(Shock, 25)];
        var harder = Find(JumpComparison.Of(Jumps(Shock, 10, 11, 12), railed), Shock);
        Assert.True(harder.IsBound);
        Assert.Equal(1, harder.B!.AtLeast);
        Assert.Null(harder.Interval95);
        Assert.Null(harder.HedgesG);
        Assert.Equal(Verdict.Larger, harder.Verdict);

        // The rail on the softer side may hide anything.
        var hidden = Find(JumpComparison.Of(Jumps(Shock, 40, 41, 42), railed), Shock);
        Assert.Equal(Verdict.AtTheRail, hidden.Verdict);
        Assert.Equal(Verdict.Smaller, Find(JumpComparison.Of(railed, Jumps(Shock, 10, 11, 12)), Shock).Verdict);
    }

    [Fact]
    public void Turns_to_the_left_and_to_the_right_are_alike()
    {
        ComparedJump[] left = [Turning(180, 400), Turning(190, 410), Turning(185, 405)];
        ComparedJump[] right = [Turning(-181, -401), Turning(-189, -409), Turning(-185, -405)];
        var found = JumpComparison.Of(left, right);
        Assert.Equal(0, Find(found, "turnFlightDeg").Difference!.Value, 1e-9);
        Assert.Equal(0, Find(found, "turnRateTakeoffDps").Difference!.Value, 1e-9);

        // Against the direction of the turn in the air stays against it.
        Assert.Equal(-50, Turning(-180, 50).Find(Measures.All.Single(measure => measure.Key == "turnRateTakeoffDps"))!.Value.Amount, 1e-12);
    }

    [Fact]
    public void The_detectable_change_is_that_of_the_same_athlete_not_of_the_difference_between_athletes()
    {
        ComparedJump[] a = [.. Jumps(Flight, 0.30, 0.31), .. Jumps(Flight, 0.60, 0.61).Select(jump => jump with { Athlete = new("birch") })];
        var found = JumpComparison.Of(a, Jumps(Flight, 0.45, 0.46));
        Assert.True(found.MixesAthletes);

        // Three pairs 0.01 apart: deviation 0.01 / sqrt(2) within each.
        Assert.Equal(1.96 * 0.01, Find(found, Flight).DetectableChangeOfTwoJumps!.Value, 1e-6);
        Assert.Equal(Verdict.NoChangeCanBeTold, Find(found, Flight).Verdict);
    }

    [Fact]
    public void The_largest_difference_in_detectable_changes_comes_first()
    {
        var a = Enumerable.Range(0, 4).Select(i => Jump((Flight, 0.40 + (0.01 * i)), ("splitAngleDeg", 150 + i))).ToArray();
        var b = Enumerable.Range(0, 4).Select(i => Jump((Flight, 0.46 + (0.01 * i)), ("splitAngleDeg", 120 + i))).ToArray();
        Assert.Equal(["legs open less", "longer in the air"], JumpComparison.Of(a, b).MostDifferent.Select(measure => measure.Words!), StringComparer.Ordinal);
    }

    [Property]
    public Property Exchanging_the_groups_turns_every_difference_round() => Prop.ForAll(Groups(), groups =>
    {
        var there = Find(JumpComparison.Of(groups.A, groups.B), Flight);
        var back = Find(JumpComparison.Of(groups.B, groups.A), Flight);
        return Near(there.Difference, -back.Difference) && Near(there.DetectableChange, back.DetectableChange)
            && Near(there.StandardUncertainty, back.StandardUncertainty) && Near(there.Interval95?.Low, -back.Interval95?.High)
            && Near(there.HedgesG, -back.HedgesG) && there.Verdict == Turned(back.Verdict);
    });

    [Property]
    public Property A_verdict_needs_more_than_the_detectable_change() => Prop.ForAll(Groups(), groups =>
    {
        var found = Find(JumpComparison.Of(groups.A, groups.B), Flight);
        return found.Words is null || (Math.Abs(found.Difference!.Value) > found.DetectableChange && found.Interval95?.Holds(0) != true);
    });

    private static Arbitrary<(ComparedJump[] A, ComparedJump[] B)> Groups()
    {
        var group = Gen.Choose(200, 900).Select(ms => Jump(Flight, ms / 1000.0)).ArrayOf().Where(jumps => jumps.Length is > 0 and < 12);
        return group.SelectMany(a => group.Select(b => (a, b))).ToArbitrary();
    }

    private static bool Near(double? x, double? y) => (x is null && y is null) || Math.Abs(x!.Value - y!.Value) <= 1e-9 * (1 + Math.Abs(x.Value));

    private static Verdict Turned(Verdict verdict) => verdict switch
    {
        Verdict.Larger => Verdict.Smaller,
        Verdict.Smaller => Verdict.Larger,
        _ => verdict,
    };

    private static MeasureComparison Find(JumpComparison comparison, string key) => comparison.Measures.Single(measure => measure.Measure.Key == key);

    private static ComparedJump[] Jumps(string key, params double[] values) => [.. values.Select(value => Jump(key, value))];

    private static ComparedJump Turning(double turnDeg, double rateDps) => Jump(("turnFlightDeg", turnDeg), ("turnRateTakeoffDps", rateDps));

    private static ComparedJump Jump(params (string Key, double Value)[] values) =>
        new(new AthleteId("amber"), 1, values.ToDictionary(pair => pair.Key, pair => new MeasuredValue(pair.Value), StringComparer.Ordinal));

    private static ComparedJump Jump(string key, double value, double? uncertainty = null, bool atLeast = false) =>
        new(new AthleteId("amber"), 1, new Dictionary<string, MeasuredValue>(StringComparer.Ordinal) { [key] = new(value, uncertainty, atLeast) });
}
