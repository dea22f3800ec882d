using Saltograph.Imu;

namespace Saltograph.Comparison.Tests;

public sealed class CurveComparisonTests
{
    [Fact]
    public void Every_node_is_compared_as_a_measure_is()
    {
        double[][] a = [[1, 10], [2, 11], [3, 15]];
        double[][] b = [[4, 12], [6, 12], [8, 15]];
        var found = CurveComparison.Of(Curves(a), Curves(b))!;
        for (var node = 0; node < 2; node++)
        {
            var measure = Measures.All[0].Key;
            var single = JumpComparison.Of(Jumps(measure, a, node), Jumps(measure, b, node)).Measures[0];
            Assert.Equal(single.Difference!.Value, found.Difference[node], 1e-12);
            Assert.Equal(single.A!.StandardDeviation!.Value, found.DeviationA![node], 1e-12);
            Assert.Equal(single.B!.Mean, found.MeanB[node], 1e-12);
            Assert.Equal(single.DetectableChange!.Value, found.DetectableChange![node], 1e-12);
        }
    }

    [Fact]
    public void Stretches_of_one_direction_are_told_from_the_shortest_length_on()
    {
        // Scatter 1 within each group: detectable 1.96 sqrt(2/3) = 1.6.
        double[] difference = [0, 5, 5, 5, 5, -4, -4, -4, -4.5, -4, 0, 9, 9, 9, 0];
        var found = CurveComparison.Of(Around(new double[difference.Length]), Around(difference))!;
        Assert.Equal([new(1, 4, 5), new(5, 9, -4.5)], found.Stretches);
    }

    [Fact]
    public void One_curve_has_no_scatter_and_nothing_is_told()
    {
        var found = CurveComparison.Of(Curves([[1, 2, 3, 4]]), Curves([[9, 9, 9, 9]]))!;
        Assert.Null(found.DeviationA);
        Assert.Null(found.DetectableChange);
        Assert.Empty(found.Stretches);
        Assert.Null(CurveComparison.Of([], Curves([[1]])));
    }

    [Fact]
    public void Curves_of_other_lengths_are_refused() => Assert.Throws<ArgumentException>(() => CurveComparison.Of(Curves([[1, 2]]), Curves([[1, 2, 3]])));

    private static ComparedCurve[] Around(double[] middle) => Curves([.. new[] { -1.0, 0, 1 }.Select(shift => middle.Select(value => value + shift).ToArray())]);

    private static ComparedCurve[] Curves(double[][] values) => [.. values.Select(each => new ComparedCurve(new AthleteId("amber"), each))];

    private static ComparedJump[] Jumps(string key, double[][] values, int node) =>
        [.. values.Select(each => new ComparedJump(new AthleteId("amber"), 1, new Dictionary<string, MeasuredValue>(StringComparer.Ordinal) { [key] = new(each[node]) }))];
}
