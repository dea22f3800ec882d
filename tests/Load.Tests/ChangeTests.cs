using FsCheck.Xunit;

namespace Saltograph.Load.Tests;

public sealed class ChangeTests
{
    private static readonly FatigueOptions Options = new() { FewestJumps = 9 };

    // By arithmetic from SEM = SD sqrt(1 - ICC), MDC = 1.96 sqrt(2) SEM.
    [Fact]
    public void Minimal_detectable_change_follows_from_spread_and_reliability()
    {
        var error = Reliability.StandardError(2, 0.90);
        Assert.Equal(0.6325, error, 1e-4);
        Assert.Equal(1.7531, Reliability.MinimalDetectableChange(error), 1e-4);
        Assert.Throws<ArgumentOutOfRangeException>(() => Reliability.StandardError(2, 1.1));
    }

    // By definition of the three indices.
    [Fact]
    public void Symmetry_of_14_and_10()
    {
        var symmetry = Symmetry.Of(left: 10, right: 14)!.Value;
        Assert.Equal(71.43, symmetry.LimbSymmetryPercent, 0.01);
        Assert.Equal(33.33, symmetry.SymmetryIndexPercent, 0.01);
        Assert.Equal(28.57, symmetry.AsymmetryPercent, 0.01);
        Assert.Equal(-symmetry.SymmetryIndexPercent, Symmetry.Of(14, 10)!.Value.SymmetryIndexPercent, 1e-9);
        Assert.Null(Symmetry.Of(null, 10));
        Assert.Null(Symmetry.Of(0, 10));
    }

    // Example of Sen 1968, estimate 4 (data and result from memory; the result follows from the data by arithmetic).
    [Fact]
    public void Robust_slope_of_the_authors_example() => Assert.Equal(
        4, TheilSen.Slope([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78])!.Value, 1e-12);

    [Property]
    public void Robust_slope_of_a_line_is_its_slope_with_one_wild_point(sbyte slope, byte at, short wild)
    {
        var x = Enumerable.Range(0, 11).Select(i => (double)i).ToArray();
        var y = x.Select(value => slope * value).ToArray();
        y[at % 11] = wild;
        Assert.Equal(slope, TheilSen.Slope(x, y)!.Value, 1e-9);
    }

    [Fact]
    public void A_change_is_shown_only_beyond_error_and_for_the_same_element()
    {
        // MDC of height 1.96 sqrt(2) 0.009 = 0.0249 m, by arithmetic.
        var falling = Enumerable.Range(0, 12).Select(i => Made.Jump(i) with { HeightM = 0.40 - (0.01 * i) }).ToList();
        var change = Assert.Single(SessionChange.Of(falling, Options), change => change.Measure == ChangeMeasure.Height);
        Assert.Equal(-0.08, change.Change!.Value, 1e-9);
        Assert.Equal(-0.01, change.SlopePerJump!.Value, 1e-9);
        Assert.Equal(100 * -0.08 / 0.385, change.ChangePercent!.Value, 1e-6);
        Assert.Equal(0.0249, change.NeededChange, 1e-4);

        var slight = falling.Select((jump, i) => jump with { HeightM = 0.40 - (0.001 * i) });
        Assert.Null(Assert.Single(SessionChange.Of(slight, Options), change => change.Measure == ChangeMeasure.Height).Change);

        var mixed = falling.Select((jump, i) => i % 2 == 0 ? jump with { Apparatus = "ball" } : jump);
        Assert.Empty(SessionChange.Of(mixed, Options));
    }

    // Own requirement: whoever looks after each of 15 to 60 jumps without a trend finds a change of height or shock in fewer than 2 per cent of such trainings.
    [Fact]
    public void Scatter_alone_is_hardly_ever_a_change_even_of_few_jumps()
    {
        var random = new Random(20);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var found = Enumerable.Range(0, 400).Count(_ =>
        {
            var jumps = Enumerable.Range(0, 60).Select(i => Made.Jump(i, 12 + (1.5 * Normal())) with { HeightM = 0.30 + (0.03 * Normal()) }).ToList();
            return Enumerable.Range(15, 46).Any(count => SessionChange.Of(jumps.Take(count), new()).Any(change => change.Change is not null));
        });
        Assert.InRange(found, 0, 7);
    }

    [Fact]
    public void A_saturated_shock_takes_no_part_in_a_change()
    {
        var jumps = Enumerable.Range(0, 12).Select(i => Made.Jump(i, saturated: i >= 8));
        Assert.DoesNotContain(SessionChange.Of(jumps, Options), change => change.Measure == ChangeMeasure.Shock);
    }

    [Fact]
    public void Asymmetry_is_judged_against_her_own_and_not_against_zero()
    {
        // MDC 1.96 sqrt(2) 4 = 11.09 percentage points, by arithmetic.
        double[] own = [20, 21, 19, 20, 22];
        Assert.Null(AsymmetryChange.Of(own, 25, Options)!.ChangePercent);
        Assert.Equal(-20, AsymmetryChange.Of(own, 0, Options)!.ChangePercent);
        Assert.Equal(11.09, AsymmetryChange.Of(own, 0, Options)!.NeededPercent, 0.01);
        Assert.Null(AsymmetryChange.Of([20, 20], 0, Options));
    }

    [Fact]
    public void A_training_is_compared_with_those_before_it_whose_sides_are_known()
    {
        // Left 10 g; right 12 g in five trainings, then a short training, then 16 g: 2 (16 - 10) / 26 = 46.2 per cent against 2 (12 - 10) / 22 = 18.2.
        List<CountedJump> Training(int number, double rightG, int landings) => [.. Enumerable.Range(0, landings).Select(i =>
            Made.Jump((100 * number) + i, i % 2 == 0 ? 10 : rightG, leg: i % 2 == 0 ? Leg.Left : Leg.Right))];
        var judged = SessionSymmetry.Of(
            [.. Enumerable.Range(0, 5).Select(number => Training(number, 12, 10)), Training(5, 30, 4), Training(6, 16, 10)], new() { Id = "x", FewestPerLeg = 5 });
        Assert.Equal([0, 1, 2, 3, 4, 5, 5], judged.Select(training => training.Earlier));
        Assert.All(judged.Take(6), training => Assert.Null(training.Change));
        Assert.Null(judged[5].Sides);
        Assert.Equal(18.18, judged[6].Change!.BaselinePercent, 0.01);
        Assert.Equal(27.97, judged[6].Change!.ChangePercent!.Value, 0.01);
    }
}
