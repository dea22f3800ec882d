using Saltograph.Imu;
using Saltograph.Service.Results;
using Saltograph.Service.Validation;

namespace Saltograph.Service.Tests.Validation;

public sealed class TrialScoreTests
{
    [Fact]
    public void Flights_that_overlap_are_the_same_jump_and_the_rest_is_missed_or_false()
    {
        var score = new TrialScore();
        score.Add([Jump(1, 1.4), Jump(3, 3.5), Jump(5, 5.21)], [Jump(1.01, 1.42), Jump(8, 8.3)]);
        Assert.Equal((2, 1, 1), (score.Asked, score.Missed, score.False)); // 0.21 s is not asked for
        Assert.Equal(0.5, score.Recall!.Value, 1e-12);
        Assert.Equal(0.5, score.Precision!.Value, 1e-12);
        Assert.Equal(0.01 * 1000, score.Errors(ValidatedMeasure.Of("flightTimeS")).Errors[0].Error, 1e-9);
    }

    [Fact]
    public void A_jump_that_was_not_asked_for_is_not_wrong_when_found()
    {
        var score = new TrialScore();
        score.Add([Jump(5, 5.19)], [Jump(5, 5.2)]);
        Assert.Equal((0, 0, 0), (score.Asked, score.Missed, score.False));
        Assert.Null(score.Recall);
        Assert.Null(score.Precision);
    }

    [Fact]
    public void Median_and_ninety_five_per_cent_are_values_that_occurred()
    {
        var score = new TrialScore();
        score.Add(Enumerable.Range(0, 20).Select(i => Jump(i, i + 0.4)), Enumerable.Range(0, 20).Select(i => Jump(i, i + 0.4 + (0.001 * i))));
        var flight = score.Errors(ValidatedMeasure.Of("flightTimeS"));
        Assert.Equal(9, flight.Median!.Value, 1e-6); // the tenth of 0 to 19
        Assert.Equal(18, flight.P95!.Value, 1e-6);   // the nineteenth
        Assert.Equal(9.5, flight.Agreement!.Bias, 1e-6);
    }

    [Fact]
    public void Errors_over_stated_uncertainties_give_the_calibration()
    {
        var score = new TrialScore();
        score.Add([Jump(1, 1.4), Jump(3, 3.4)], [Jump(1, 1.403, uncertaintyS: 0.001), Jump(3, 3.404, uncertaintyS: 0.001)]);
        Assert.Equal(Math.Sqrt((9 + 16) / 2.0), score.Errors(ValidatedMeasure.Of("flightTimeS")).Calibration!.Value, 1e-6);
        Assert.Null(score.Errors(ValidatedMeasure.Of("heightM")).Calibration);
    }

    [Fact]
    public void A_shock_is_compared_at_the_ankle_that_landed_and_not_at_the_rail()
    {
        var measure = ValidatedMeasure.Of(ValidatedMeasure.LandingAnkleShock);
        var truth = Jump(1, 1.4, foot: "right", shocks: (10, 20));
        Assert.Equal(5, measure.Error(truth, Jump(1, 1.4, shocks: (99, 21)))!.Error, 1e-9); // per cent
        Assert.Null(measure.Error(truth, Jump(1, 1.4, shocks: (99, 21), quality: "saturated")));
        Assert.Null(measure.Error(truth, Jump(1, 1.4)));
    }

    [Theory]
    [InlineData("flightTimeS", "flight_time_s")]
    [InlineData("landingShockG.trunk", "landing_shock_g_trunk")]
    public void Columns_of_a_truth_are_keys_in_small_letters(string key, string column) => Assert.Equal(column, RecordedSets.ColumnOf(key));

    private static JumpLine Jump(double takeoffS, double landingS, double? uncertaintyS = null, string? foot = null, (double Left, double Right)? shocks = null, string? quality = null)
    {
        var values = new Dictionary<string, double>(StringComparer.Ordinal) { ["flightTimeS"] = landingS - takeoffS };
        var uncertainties = new Dictionary<string, double>(StringComparer.Ordinal);
        if (uncertaintyS is { } stated)
        {
            uncertainties["flightTimeS"] = stated;
        }

        if (shocks is { } found)
        {
            values["landingShockG.ankleLeft"] = found.Left;
            values["landingShockG.ankleRight"] = found.Right;
        }

        return new(1, new AthleteId("amber"), 1, takeoffS, landingS, null, foot, "A", quality is null ? [] : [quality], values, uncertainties);
    }
}
