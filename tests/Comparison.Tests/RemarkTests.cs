using Saltograph.Imu;

namespace Saltograph.Comparison.Tests;

/// <summary>Words for what differs.</summary>
public sealed class RemarkTests
{
    [Fact]
    public void Turn_that_is_still_on_or_over_at_take_off_is_said()
    {
        Assert.Equal("turn still on at take-off: 320 deg/s against 60", First("turnRateTakeoffDps", [55, 60, 65], [315, 320, 325]).Text);
        Assert.Equal((RemarkKind.TurnOver, "turn over at take-off: 60 deg/s against 320"), (First("turnRateTakeoffDps", [315, 320, 325], [55, 60, 65]).Kind, First("turnRateTakeoffDps", [315, 320, 325], [55, 60, 65]).Text));
        Assert.Equal("faster turn at take-off", First("turnRateTakeoffDps", [295, 300, 305], [395, 400, 405]).Text); // both turn
    }

    [Fact]
    public void Legs_that_open_about_take_off_are_said_in_ms()
    {
        Assert.Equal("legs open 60 ms before take-off, against 40 ms after", First(CourseTiming.LegsOpenKey, [0.039, 0.040, 0.041], [-0.061, -0.060, -0.059]).Text);
        Assert.Equal(RemarkKind.LegsOpenAfter, First(CourseTiming.LegsOpenKey, [-0.061, -0.060, -0.059], [0.039, 0.040, 0.041]).Kind);
    }

    [Theory]
    [InlineData(0.20, 0.10, "absorbs in half the time", 0.5)]
    [InlineData(0.20, 0.104, "absorbs in half the time", 0.5)]
    [InlineData(0.10, 0.20, "absorbs in twice the time", 2)]
    [InlineData(0.15, 0.10, "absorbs in two thirds of the time", 2 / 3.0)]
    [InlineData(0.20, 0.116, "absorbs in 58 per cent of the time", 0.58)]
    public void A_share_of_the_time_is_said_as_a_fraction_when_it_is_near_one(double a, double b, string words, double share)
    {
        var remark = First("absorptionTimeS", [a - 0.001, a, a + 0.001], [b - 0.001, b, b + 0.001]);
        Assert.Equal(words, remark.Text);
        Assert.Equal(share, remark.Share!.Value, 1e-9);
    }

    [Fact]
    public void A_share_near_one_is_said_in_the_words_of_the_measure() => Assert.Equal("landing absorbed longer", First("absorptionTimeS", [0.199, 0.2, 0.201], [0.219, 0.22, 0.221]).Text);

    [Fact]
    public void A_shock_is_said_as_a_share_unless_it_is_a_bound()
    {
        Assert.Equal("lands with half the shock at the left ankle", First("landingShockG.ankleLeft", [19, 20, 21], [9, 10, 11]).Text);
        var remark = Assert.Single(Remark.Of(JumpComparison.Of(Jumps("landingShockG.ankleLeft", [9, 10, 11]), [.. Jumps("landingShockG.ankleLeft", [31, 32, 33], isAtLeast: true)])));
        Assert.Equal((RemarkKind.Plain, "harder landing on the left foot"), (remark.Kind, remark.Text));
    }

    [Fact]
    public void Measures_that_tell_the_same_thing_speak_once_and_the_strongest_first()
    {
        ComparedJump[] a = [.. Enumerable.Range(0, 3).Select(i => Jump(("flightTimeS", 0.40 + (i * 0.01)), ("heightM", 0.20 + (i * 0.001)), ("splitAngleDeg", 150 + (i * 10))))];
        ComparedJump[] b = [.. Enumerable.Range(0, 3).Select(i => Jump(("flightTimeS", 0.50 + (i * 0.01)), ("heightM", 0.30 + (i * 0.001)), ("splitAngleDeg", 180 + (i * 10))))];
        Assert.Equal(["higher jump", "legs open wider"], Remark.Of(JumpComparison.Of(a, b)).Select(remark => remark.Text), StringComparer.Ordinal);
    }

    [Fact]
    public void Nothing_is_said_of_differences_inside_the_scatter() => Assert.Empty(Remark.Of(JumpComparison.Of(Jumps("absorptionTimeS", [0.1, 0.2, 0.3]), Jumps("absorptionTimeS", [0.12, 0.22, 0.32]))));

    private static Remark First(string key, double[] a, double[] b) => Assert.Single(Remark.Of(JumpComparison.Of(Jumps(key, a), Jumps(key, b))));

    private static ComparedJump[] Jumps(string key, double[] values, bool isAtLeast = false) => [.. values.Select(value => Jump(isAtLeast, (key, value)))];

    private static ComparedJump Jump(params (string Key, double Value)[] values) => Jump(false, values);

    // The turn in the air gives turn rates their sign.
    private static ComparedJump Jump(bool isAtLeast, params (string Key, double Value)[] values) => new(
        new AthleteId("amber"),
        1,
        values.Where(value => value.Key != "turnFlightDeg").Append(("turnFlightDeg", 180)).ToDictionary(value => value.Item1, value => new MeasuredValue(value.Item2, IsAtLeast: isAtLeast), StringComparer.Ordinal));
}
