using Saltograph.Imu;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Tests.Recordings;

public sealed class SaturationTests
{
    [Fact]
    public void Two_consecutive_samples_at_the_extreme_of_an_axis_count_as_saturated()
    {
        var marks = MarkForces([1, 78.4, 78.4, 3, 78.4, 2, -20, 5], fullScaleMps2: null);
        Assert.Equal([false, true, true, false, false, false, false, false], marks);
    }

    [Fact]
    public void A_run_at_the_extreme_is_broken_by_a_lost_sample() =>
        Assert.Equal([false, false, false], MarkForces([78.4, 0, 78.4], fullScaleMps2: null, lost: [false, true, false]));

    [Fact]
    public void An_axis_that_stays_at_zero_is_not_saturated() =>
        Assert.All(MarkForces([0, 0, 0, 0], fullScaleMps2: null), Assert.False);

    [Fact]
    public void Standing_still_without_noise_is_not_saturated() =>
        Assert.All(MarkForces([9.81, 9.81, 9.81, 0, 0, 0], fullScaleMps2: null), Assert.False);

    [Fact]
    public void With_a_stated_range_one_sample_at_it_is_enough() =>
        Assert.Equal([false, true, false, true], MarkForces([78.3, 156.9, 78.3, -156.9], fullScaleMps2: 156.9064));

    [Fact]
    public void With_a_stated_range_a_repeated_maximum_below_it_is_a_measurement() =>
        Assert.All(MarkForces([1, 78.4, 78.4, 3], fullScaleMps2: 156.9064), Assert.False);

    [Fact]
    public void A_gyroscope_at_its_rail_is_marked_as_such()
    {
        Vector3D[] rates = [new(0, 1, 0), new(0, 34.9, 0), new(0, 34.9, 0)];
        var marks = Saturation.Mark(new Vector3D[3], rates, new bool[3], null);
        Assert.Equal([SampleMarks.None, SampleMarks.GyroscopeSaturated, SampleMarks.GyroscopeSaturated], marks);
    }

    private static bool[] MarkForces(double[] z, double? fullScaleMps2, bool[]? lost = null) =>
    [
        .. Saturation.Mark([.. z.Select(value => new Vector3D(0.1, 0, value))], new Vector3D[z.Length], lost ?? new bool[z.Length], fullScaleMps2)
            .Select(marks => marks.HasFlag(SampleMarks.AccelerometerSaturated)),
    ];
}
