namespace Saltograph.Ahrs.Tests;

/// <summary>
/// Test data and printed deviations of W. J. Riley, NIST Special Publication 1065, 2008, section 12.4: the NBS14 set and the
/// 1000-point set of the generator 16807 n mod (2^31 - 1). The nine NBS14 values were written down from memory.
/// </summary>
public sealed class AllanDeviationTests
{
    private static readonly double[] Nbs14 = [892, 809, 823, 798, 671, 644, 883, 903, 677];

    private static readonly double[] Thousand = Generate();

    [Fact]
    public void Nine_value_set_gives_the_published_deviations()
    {
        Assert.Equal(91.22945, AllanDeviation.NonOverlapping(Nbs14, 1)!.Value, 91.2 * 1e-6);
        Assert.Equal(115.8082, AllanDeviation.NonOverlapping(Nbs14, 2)!.Value, 115.8 * 1e-6);
        Assert.Equal(91.22945, AllanDeviation.Overlapping(Nbs14, 1)!.Value, 91.2 * 1e-6);
        Assert.Equal(85.95287, AllanDeviation.Overlapping(Nbs14, 2)!.Value, 85.9 * 1e-6);
    }

    [Fact]
    public void Thousand_value_set_gives_the_published_mean_and_standard_deviation()
    {
        var mean = Thousand.Average();
        Assert.Equal(0.4897745, mean, 1e-7);
        Assert.Equal(0.2884664, Math.Sqrt(Thousand.Sum(x => (x - mean) * (x - mean)) / 999), 1e-7);
    }

    [Theory]
    [InlineData(1, 0.2922319)]
    [InlineData(10, 0.09965736)]
    [InlineData(100, 0.03897804)]
    public void Thousand_value_set_gives_the_published_allan_deviations(int averaged, double expected) =>
        Assert.Equal(expected, AllanDeviation.NonOverlapping(Thousand, averaged)!.Value, 1e-7);

    [Theory]
    [InlineData(10, 0.09159953)]
    [InlineData(100, 0.03241343)]
    public void Thousand_value_set_gives_the_published_overlapping_deviations(int averaged, double expected) =>
        Assert.Equal(expected, AllanDeviation.Overlapping(Thousand, averaged)!.Value, 1e-7);

    [Fact]
    public void White_noise_shows_its_density_on_the_curve()
    {
        // Variance 1/12 of the uniform generator at 100 Hz: density sqrt(1/12) / sqrt(100) per root hertz.
        var noise = AllanNoise.Of(AllanDeviation.Curve(Thousand, 0.01));
        Assert.Equal(Math.Sqrt(1 / 12.0) / 10, noise.WhiteNoisePerRootHz, 0.003);
    }

    [Fact]
    public void Angle_random_walk_of_a_data_sheet_is_sixty_times_the_density() =>
        Assert.Equal(0.3, AllanNoise.DegPerRootHour(0.005 * Math.PI / 180), 1e-12);

    [Fact]
    public void Too_few_readings_give_nothing()
    {
        Assert.Null(AllanDeviation.NonOverlapping(Nbs14, 5));
        Assert.Null(AllanDeviation.Overlapping(Nbs14, 5));
        Assert.Throws<ArgumentOutOfRangeException>(() => AllanDeviation.Overlapping(Nbs14, 0));
    }

    private static double[] Generate()
    {
        var n = 1234567890L;
        var values = new double[1000];
        for (var i = 0; i < values.Length; i++)
        {
            values[i] = n / 2147483647.0;
            n = 16807 * n % 2147483647;
        }

        return values;
    }
}
