using Saltograph.Comparison;

namespace Saltograph.Comparison.Tests;

/// <summary>Worked examples of others.</summary>
public sealed class PublishedExamplesTests
{
    // Student 1908, Biometrika 6:1-25: hours of sleep gained by ten patients under two drugs; the example of Welch's test in the
    // documentation of R (t.test, sleep): t = -1.8608, df = 17.776, interval -3.3654832 to 0.2054832, means 0.75 and 2.33.
    private static readonly double[] FirstDrug = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0];
    private static readonly double[] SecondDrug = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4];

    // Bland and Altman 1986, Lancet 327:307-310, table: peak flow (l/min) of 17 people, twice by each of two meters (data from memory).
    private static readonly double[] LargeFirst = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427];
    private static readonly double[] LargeSecond = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421];
    private static readonly double[] MiniFirst = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451];
    private static readonly double[] MiniSecond = [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443];

    [Fact]
    public void The_sleep_of_student_compared_after_welch_is_that_of_the_textbooks()
    {
        var found = MeanDifference.Of(Statistics(FirstDrug), Statistics(SecondDrug))!;
        Assert.Equal(2.33 - 0.75, found.Difference, 1e-12);
        Assert.Equal(1.8608, found.Difference / found.StandardError, 1e-4);
        Assert.Equal(17.776, found.DegreesOfFreedom, 1e-3);
        Assert.Equal(-0.2054832, found.Interval95.Low, 1e-6);
        Assert.Equal(3.3654832, found.Interval95.High, 1e-6);
    }

    // scipy 1.10.1: stats.t.ppf(.975, 9) times the deviation times sqrt(1.1), formula of Crawford and Howell 1998.
    [Fact]
    public void One_jump_against_a_group_is_a_single_case_against_controls()
    {
        var found = MeanDifference.Of(Statistics(FirstDrug), Statistics([5]))!;
        Assert.Equal(2.26506, found.Difference / found.StandardError, 1e-5);
        Assert.Equal(4.25 - 4.2445514, found.Interval95.Low, 1e-6);
        var turned = MeanDifference.Of(Statistics([5]), Statistics(FirstDrug))!;
        Assert.Equal(-found.Interval95.Low, turned.Interval95.High, 1e-12);
    }

    // The paper: mean -2.1, deviation 38.8, limits -79.7 and 75.5 (it takes 2 deviations), interval of the mean -22.0 to 17.8,
    // of the lower limit -114.3 to -45.1. It rounds on the way.
    [Fact]
    public void The_peak_flow_meters_of_bland_and_altman_agree_as_published()
    {
        var found = Agreement.Of([.. LargeFirst.Zip(MiniFirst, (large, mini) => large - mini)])!;
        Assert.Equal(-2.1, found.Bias, 0.05);
        Assert.Equal(38.8, found.StandardDeviation, 0.05);
        Assert.Equal(-79.7, found.Bias - (2 * found.StandardDeviation), 0.1);
        Assert.Equal(75.5, found.Bias + (2 * found.StandardDeviation), 0.1);
        Assert.Equal(-22.0, found.BiasInterval95.Low, 0.1);
        Assert.Equal(17.8, found.BiasInterval95.High, 0.1);
        Assert.Equal(34.6, found.LimitHalfWidth95, 0.1);

        // Limits with 1.96, from numpy 1.24: -78.0959 and 73.8606.
        Assert.Equal(-78.09590547, found.Limits.Low, 1e-6);
        Assert.Equal(73.86061135, found.Limits.High, 1e-6);
    }

    // The paper: coefficients of repeatability, twice the deviation of the differences of repeated readings, 43.2 and 56.4 l/min.
    [Theory]
    [InlineData(false, 43.2)]
    [InlineData(true, 56.4)]
    public void The_repeatability_of_the_meters_is_the_detectable_change_of_two_readings(bool mini, double published)
    {
        var pairs = (mini ? MiniFirst.Zip(MiniSecond) : LargeFirst.Zip(LargeSecond)).Select(pair => (IReadOnlyCollection<double>)[pair.First, pair.Second]);
        var change = DetectableChange.Of(DetectableChange.WithinAthletes(pairs)!.Value);
        Assert.Equal(published, change * 2 / 1.959964, 0.15);
    }

    // Borenstein, Hedges, Higgins, Rothstein 2009, Introduction to Meta-Analysis, chapter 4 (from memory): means 103 and 100, deviations 5.5 and
    // 4.5, 50 each: d = 0.5970, J = 0.9923, g = 0.5924.
    [Fact]
    public void The_effect_size_of_the_meta_analysis_textbook() => Assert.Equal(
        0.5924, EffectSize.HedgesG(new(50, 0, 100, 4.5, 100, 0, null), new(50, 0, 103, 5.5, 103, 0, null))!.Value, 1e-4);

    // Derived by arithmetic from the definition: deviation 2, reliability 0.90.
    [Fact]
    public void The_detectable_change_of_a_reliability_of_ninety_per_cent()
    {
        var standardError = DetectableChange.StandardErrorOfMeasurement(2, 0.90);
        Assert.Equal(0.6325, standardError, 1e-4);
        Assert.Equal(1.7531, DetectableChange.Of(standardError), 1e-4);
    }

    private static GroupStatistics Statistics(double[] values) => GroupStatistics.Of([.. values.Select(value => new MeasuredValue(value))])!;
}
