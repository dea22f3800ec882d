using FsCheck;
using FsCheck.Fluent;
using FsCheck.Xunit;

namespace Saltograph.Comparison.Tests;

public sealed class CourseTimingTests
{
    [Fact]
    public void Legs_open_where_the_split_rises_through_half_of_its_widest()
    {
        var values = CourseTiming.Of([-0.2, -0.1, 0, 0.1, 0.2, 0.3], [0, 30, 60, 150, 160, 90], 0.4, 0.003);
        Assert.Equal(0.1 * (80 - 60) / 90, values[CourseTiming.LegsOpenKey].Amount, 1e-12); // 80 deg, between 60 at 0 s and 150 at 0.1 s
        Assert.Equal(0, values[CourseTiming.LegsWidestKey].Amount, 1e-12); // at 0.2 s, the middle of 0.4 s
        Assert.Equal(Math.Sqrt((0.003 * 0.003) + (0.01 / 12)), values[CourseTiming.LegsOpenKey].StandardUncertainty!.Value, 1e-12);
    }

    [Fact]
    public void A_swing_of_the_run_up_that_closed_again_does_not_count()
    {
        var values = CourseTiming.Of([-0.4, -0.3, -0.2, -0.1, 0, 0.1, 0.2], [0, 90, 20, 30, 70, 140, 100], 0.4, null);
        Assert.Equal(0, values[CourseTiming.LegsOpenKey].Amount, 1e-12);
        Assert.Null(values[CourseTiming.LegsOpenKey].StandardUncertainty);
    }

    [Fact]
    public void What_was_not_measured_or_lies_outside_is_missing()
    {
        Assert.Empty(CourseTiming.Of([0, 0.1], null, 0.4, 0.003));
        Assert.Empty(CourseTiming.Of([0, 0.1, 0.2], [1, 2, 3], 0.4, 0.003)); // still opening at the end
        Assert.Empty(CourseTiming.Of([0, 0.1, 0.2], [0, 0, 0], 0.4, 0.003));
        Assert.False(CourseTiming.Of([0, 0.1, 0.2], [90, 100, 80], 0.4, 0.003).ContainsKey(CourseTiming.LegsOpenKey)); // more than half open from the beginning
        Assert.Throws<ArgumentException>(() => CourseTiming.Of([0, 0.1], [1], 0.4, null));
    }

    // A cosine-shaped opening has its half at a known place: 1 - cos reaches half of its amplitude at a quarter of its period.
    [Property(MaxTest = 200)]
    public Property A_smooth_opening_is_found_to_a_fraction_of_a_node() => Prop.ForAll(
        Gen.Choose(-150, 100).Select(ms => ms / 1000.0).ToArbitrary(),
        Gen.Choose(60, 180).Select(deg => (double)deg).ToArbitrary(),
        (opensS, widestDeg) =>
        {
            double[] times = [.. Enumerable.Range(0, 161).Select(node => -0.5 + (node * 0.00625))];
            double[] split = [.. times.Select(at => Math.Abs(at - opensS - 0.1) >= 0.2 ? 0 : widestDeg / 2 * (1 + Math.Cos(Math.PI * (at - opensS - 0.1) / 0.2)))];
            var found = CourseTiming.Of(times, split, 0.4, null)[CourseTiming.LegsOpenKey].Amount;
            return Math.Abs(found - opensS) < 0.001;
        });
}
