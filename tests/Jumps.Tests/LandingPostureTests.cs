namespace Saltograph.Jumps.Tests;

/// <summary>Bodies that land lower than they left: what the flight time makes of it, and what the motion around the flight knows better.</summary>
public sealed class LandingPostureTests
{
    // Serway and Jewett, Physics for Scientists and Engineers, chapter 4 problem 24: centre of mass at 1.02 m on take-off, 1.85 m at
    // the peak, 0.900 m at touchdown, g 9.80: hang time 0.852 s. The flight time alone makes 0.889 m of the rise of 0.830 m, and the peak is
    // at 0.4116 s, not in the middle at 0.4259 s (by arithmetic).
    // Yamashita et al. 2020, Appl Sci 10:776: 5.3 cm lower at landing, 2.5 cm too high from flight time; exact formula for 0.30 m:
    // t 0.51567 s, 0.32596 m. With a drop of 0.10 m 16.1 per cent too high: t = v/g + sqrt(v^2/g^2 + 2 d/g) (by arithmetic).
    [Theory]
    [InlineData(0.852, 0.120, 0.830, 0.889)]
    [InlineData(0.51567, 0.053, 0.300, 0.32596)]
    [InlineData(0.53297, 0.100, 0.300, 0.34821)]
    [InlineData(0.49470, 0.000, 0.300, 0.30000)]
    public void A_low_landing_raises_the_flight_time_height_but_not_the_height(
        double flightTimeS, double landingDropM, double riseM, double fromFlightTimeM)
    {
        var jump = Assert.Single(new TextbookJump { FlightTimeS = flightTimeS, LandingDropM = landingDropM, SampleRateHz = 1000 }.Track().Jumps);
        Assert.Equal(flightTimeS, jump.FlightTimeS, 0.003);
        Assert.Equal(fromFlightTimeM, jump.HeightFlightTimeM!.Value, 0.006);
        Assert.Equal(riseM, jump.HeightM, 0.01);
        Assert.Equal(riseM, jump.HeightTakeoffVelocityM!.Value, 0.01);
        Assert.Equal(Math.Sqrt(2 * riseM / 9.80665), jump.PeakTime - jump.TakeoffTime, 0.005);
    }

    [Fact]
    public void Stated_uncertainties_hold_timing_and_posture()
    {
        // d h / d t = g t / 4 = 1.2258 m/s at 0.50 s (by arithmetic), and half of a usual landing drop of 5.3 cm (Yamashita et al. 2020).
        var jump = Assert.Single(new TextbookJump { FlightTimeS = 0.5, SampleRateHz = 1000 }.Track().Jumps);
        var stated = jump.Uncertainty;
        Assert.Equal(
            Math.Sqrt(Math.Pow(9.80665 * jump.FlightTimeS / 4 * stated.FlightTimeS!.Value, 2) + (0.0265 * 0.0265)), stated.HeightFlightTimeM!.Value, 6);
        Assert.Equal(
            Math.Sqrt(Math.Pow(stated.TakeoffS!.Value, 2) + Math.Pow(stated.LandingS!.Value, 2)), stated.FlightTimeS.Value, 9);
        Assert.True(stated.HeightM < stated.HeightFlightTimeM, "the motion around the flight adds knowledge");
        Assert.Null(stated.SplitAngleDeg);
    }
}
