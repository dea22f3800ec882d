using FsCheck.Xunit;

namespace Saltograph.Load.Tests;

public sealed class RepeatabilityTests
{
    // By hand: differences 1, -1, 1, -1, 0 have the variance 1 (over n - 1), so the error is sqrt(1 / 2) = 0.7071 (Hopkins, Sports Med 2000, 30:1-15: typical error = s_diff / sqrt(2)).
    [Fact]
    public void The_standard_error_is_the_deviation_of_the_differences_over_the_root_of_two()
    {
        var found = Repeatability.Of([(10, 11), (12, 11), (14, 15), (16, 15), (18, 18)], fewestPairs: 5)!;
        Assert.Equal(0.7071, found.StandardError, 1e-4);
        Assert.Equal(1.9600, found.MinimalDetectableChange, 1e-4); // 1.96 sqrt(2) 0.7071
        Assert.Equal(14, found.Mean, 1e-12);
        Assert.Null(Repeatability.Of([(10, 11), (12, 11), (14, 15), (16, 15), (18, 18)]));
    }

    // Shrout and Fleiss, Psychol Bull 1979, 86:420-428: ICC(3,1) = (BMS - EMS) / (BMS + (k - 1) EMS), mean squares of the table of subjects and trials worked out here.
    [Property]
    public void The_coefficient_is_that_of_the_analysis_of_variance(short[] values, byte shift)
    {
        var pairs = values.Zip(values.Skip(7), (a, b) => ((double)a, a + (b / 50.0) + shift)).ToList();
        if (Repeatability.Of(pairs, 3) is not { IntraclassCorrelation: { } found })
        {
            return;
        }

        var n = pairs.Count;
        var all = pairs.Average(pair => (pair.Item1 + pair.Item2) / 2);
        var between = pairs.Sum(pair => 2 * Math.Pow(((pair.Item1 + pair.Item2) / 2) - all, 2)) / (n - 1);
        var trials = n * (Math.Pow(pairs.Average(pair => pair.Item1) - all, 2) + Math.Pow(pairs.Average(pair => pair.Item2) - all, 2));
        var total = pairs.Sum(pair => Math.Pow(pair.Item1 - all, 2) + Math.Pow(pair.Item2 - all, 2));
        var error = (total - (between * (n - 1)) - trials) / (n - 1);
        Assert.Equal(Math.Max(0, (between - error) / (between + error)), found, 1e-6);
    }

    [Property]
    public void What_all_change_alike_is_no_error(byte shift)
    {
        var found = Repeatability.Of([.. Enumerable.Range(0, 12).Select(i => ((double)i, (double)i + shift))])!;
        Assert.Equal(0, found.StandardError, 1e-9);
        Assert.Equal(1, found.IntraclassCorrelation!.Value, 1e-9);
    }

    // Simulated with a known error: heights of 8 athletes differ by 4 cm, a training's medians by 1 cm (normal, seed 5).
    [Fact]
    public void The_error_that_was_put_in_comes_out()
    {
        var random = new Random(5);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var own = Enumerable.Range(0, 8).Select(_ => 0.3 + (0.04 * Normal())).ToArray();
        var pairs = Enumerable.Range(0, 800).Select(i => (own[i % 8] + (0.01 * Normal()), own[i % 8] + (0.01 * Normal()))).ToList();
        var error = Repeatability.Of(pairs)!.StandardError;
        Assert.InRange(error, 0.01 * 0.925, 0.01 * 1.075); // three standard errors of a deviation from 800 values: 3 / sqrt(1600)
    }

    [Fact]
    public void Only_the_same_element_of_the_same_athlete_in_trainings_within_a_week_is_paired()
    {
        static List<CountedJump> Training(int day, double heightM, Leg leg = Leg.Left, int jumps = 5) =>
            [.. Enumerable.Range(0, jumps).Select(i => Made.Jump((day * 100) + i, atS: (day * 86_400) + i, leg: leg) with { HeightM = heightM })];
        IReadOnlyCollection<CountedJump>[] trainings = [Training(9, 0.4), Training(0, 0.3), Training(2, 0.32), Training(5, 0.9, Leg.Right), Training(4, 0.9, jumps: 4)];
        Assert.Equal([(0.3, 0.32), (0.32, 0.4)], Repeatability.PairsOf(trainings, ChangeMeasure.Height));
        Assert.Equal([(0.3, 0.32)], Repeatability.PairsOf(trainings, ChangeMeasure.Height, longestPauseS: 3 * 86_400));
        Assert.Empty(Repeatability.PairsOf(trainings, ChangeMeasure.ContactTime));
    }
}
