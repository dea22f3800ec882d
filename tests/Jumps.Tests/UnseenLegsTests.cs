using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Jumps.Tests;

/// <summary>A trunk without ankle sensors: what the legs do to it is not what the body does.</summary>
public sealed class UnseenLegsTests
{
    private const double G = Gravity.StandardMps2;

    private static readonly TextbookJump Body = new() { SampleRateHz = 416, LandingDropM = 0.05 };

    [Fact]
    public void A_trunk_that_is_pulled_below_zero_by_its_legs_has_the_take_off_later_than_its_own_zero()
    {
        // The legs hold the trunk back from 35 ms before the toes leave to 45 ms after: it reads zero some 10 ms early and -0.35 g at most.
        var pulled = Found(since => -0.35 * G * Hump(since + 0.035, 0.080), _ => 0);
        var whole = Found(_ => 0, _ => 0);
        Assert.Equal(Body.TakeoffS, whole.TakeoffTime.Seconds, 0.004);
        Assert.Equal(Body.TakeoffS, pulled.TakeoffTime.Seconds, 0.006);
        Assert.True(pulled.Uncertainty.TakeoffS > 0.005);
    }

    [Fact]
    public void The_landing_is_the_kink_of_the_contact_and_not_the_load_that_comes_later()
    {
        // Forefoot at the landing: 0.35 g for 20 ms. The knees give, the load comes 30 ms later.
        var late = Body with { FlightTimeS = Body.FlightTimeS + 0.030 };
        var soft = Found(_ => 0, since => 0.35 * G * Hump(since + 0.030, 0.020), late);
        Assert.Equal(late.LandingTimeS - 0.030, soft.LandingTime.Seconds, 0.005);
    }

    [Fact]
    public void The_swing_of_the_legs_in_the_air_is_no_contact()
    {
        // A leg that swings down takes 150 ms: 0.6 g, without a kink.
        var swung = Found(_ => 0, since => 0.6 * G * Hump(since + 0.160, 0.150));
        Assert.Equal(Body.LandingTimeS, swung.LandingTime.Seconds, 0.004);
    }

    // One arch of a squared sine: it begins and ends without a step and without a kink in its slope.
    private static double Hump(double sinceS, double lengthS) =>
        sinceS < 0 || sinceS > lengthS ? 0 : Math.Pow(Math.Sin(Math.PI * sinceS / lengthS), 2);

    private static JumpRecord Found(Func<double, double> sinceTakeoffMps2, Func<double, double> sinceLandingMps2, TextbookJump? body = null)
    {
        var jump = body ?? Body;
        var tracker = new JumpTracker(new());
        tracker.SetSampleRate(Site.Trunk, jump.SampleRateHz);
        var facts = new JumpFacts();
        foreach (var sample in jump.Samples())
        {
            var timeS = sample.Time.Seconds;
            var legs = sinceTakeoffMps2(timeS - jump.TakeoffS) + sinceLandingMps2(timeS - jump.LandingTimeS);
            tracker.Push(Site.Trunk, sample with { SpecificForceSensorMps2 = sample.SpecificForceSensorMps2 + new Vector3D(0, 0, legs) }, facts);
        }

        tracker.Complete(facts);
        return Assert.Single(facts.Jumps);
    }
}
