using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Jumps.Tests;

/// <summary>Falls, impulses and half sines, as textbooks have them.</summary>
public sealed class MechanicsTests
{
    private const double G = Gravity.StandardMps2;

    // Serway and Jewett, Physics for Scientists and Engineers, chapter 4 problem 24: up at 4.03 m/s, down at 4.32 m/s, 0.852 s, landing 0.120 m lower.
    // Landing speeds from 0.32, 0.62 and 1.03 m: 2.5, 3.5 and 4.5 m/s (Zhang and others 2000, Med Sci Sports Exerc 32:812-819, second hand; 2.505, 3.487 and 4.495 by arithmetic).
    [Theory]
    [InlineData(0.852, 0.120, 4.03, 4.32)]
    [InlineData(0.5109, 0, 2.505, 2.505)]
    [InlineData(0.7112, 0, 3.487, 3.487)]
    [InlineData(0.9166, 0, 4.495, 4.495)]
    public void What_goes_up_comes_down_at_the_speed_of_its_fall(double flightTimeS, double landingDropM, double takeoffMps, double landingMps)
    {
        var jump = Assert.Single(new TextbookJump { FlightTimeS = flightTimeS, LandingDropM = landingDropM, SampleRateHz = 1000 }.Track(new() { LongestFlightTimeS = 1.2 }).Jumps);
        Assert.Equal(takeoffMps, jump.TakeoffVelocityMps!.Value, 0.03);
        Assert.Equal(landingMps, (G * jump.FlightTimeS) - jump.TakeoffVelocityMps.Value, 0.03);
    }

    // m g t / 2: who flies for 0.5 s with 50 kg has pushed off with 122.58 N s, and is stopped by as much (by arithmetic).
    [Fact]
    public void The_impulse_of_a_push_off_is_that_of_half_the_flight()
    {
        var jump = Assert.Single(new TextbookJump { FlightTimeS = 0.5, SampleRateHz = 1000 }.Track().Jumps);
        Assert.Equal(122.58, 50 * jump.TakeoffVelocityMps!.Value, 1.5);
    }

    // Mean force over the way of a stop: (1 + h / s) body weights; 3.00 for 0.30 m and 0.15 m (work and energy). The depth is as measured, the force as put in.
    [Fact]
    public void The_mean_force_of_a_landing_follows_from_the_height_and_the_depth_that_were_measured()
    {
        var body = new TextbookJump { FlightTimeS = 2 * Math.Sqrt(2 * 0.30 / G), LandingS = 0.115, SampleRateHz = 1000 };
        var (velocityMps, depthM, work) = (-G * body.FlightTimeS / 2, 0.0, 0.0);
        foreach (var sample in body.Samples().Where(sample => sample.Time.Seconds >= body.LandingTimeS))
        {
            if (velocityMps >= 0)
            {
                break;
            }

            var force = sample.SpecificForceSensorMps2.Z;
            var downM = -velocityMps / body.SampleRateHz;
            (depthM, work, velocityMps) = (depthM + downM, work + (force * downM), velocityMps + ((force - G) / body.SampleRateHz));
        }

        var jump = Assert.Single(body.Track().Jumps);
        Assert.Equal(depthM, jump.AbsorptionDepthM!.Value, 0.01);
        Assert.Equal(work / depthM / G, 1 + (jump.HeightM / jump.AbsorptionDepthM.Value), 0.25);
        Assert.Equal(1 + (0.30 / depthM), work / depthM / G, 0.02);
    }

    // m (a + g): 50 kg that are pushed up with 25 m/s2 press with 1740.33 N, 3.549 body weights (by arithmetic).
    [Fact]
    public void The_force_of_the_floor_is_that_of_the_acceleration_and_the_weight()
    {
        var track = Track(1000, _ => G + 25, 0.5);
        var force = CentreOfMass.Over(track, null, null, track[track.Begin].Time, track.NewestTime, ArmLengths.Prior).ForceUpMps2(null);
        Assert.Equal(1740.33, 50 * force[force.Count / 2], 0.01);
        Assert.Equal(3.549, force[force.Count / 2] / G, 0.001);
    }

    // A half sine of 20 g over 11 ms changes the velocity by 2 A D / pi = 1.3735 m/s (by arithmetic).
    [Fact]
    public void A_half_sine_changes_the_velocity_by_its_area()
    {
        var track = Track(2000, timeS => G + (20 * G * HalfSine(timeS - 0.2, 0.011)), 0.5);
        Assert.Equal(1.3735, track.BodyVelocityChangeMps(SampleTime.FromSeconds(0.19), SampleTime.FromSeconds(0.23)), 0.003);
    }

    // A half sine of 20 ms of which no sample meets the top loses 1 - cos(pi / (2 D fs)): 29.29 per cent at 100 Hz (by arithmetic). That is why a
    // shock at such a rate is marked as one that may have missed its peak.
    [Fact]
    public void A_shock_that_is_sampled_too_seldom_misses_its_peak_by_what_is_said()
    {
        var track = Track(100, timeS => 10 * G * HalfSine(timeS - 0.495, 0.020), 1);
        Assert.False(ShockMeasure.CanFilter(100, new()));
        Assert.Equal(10 * (1 - 0.2929), ShockMeasure.Find(track, SampleTime.FromSeconds(0.48), new())!.Value.PeakG, 0.001);
    }

    // 5 ms for each event at 0.50 s are 8.67 mm of height; 3 deg for each shank 4.243 deg of split (law of propagation, JCGM 100:2008, 5.1, by arithmetic).
    [Fact]
    public void Uncertainties_add_up_in_squares()
    {
        Assert.Equal(8.67, 1000 * Uncertainties.OfFlightTimeM(0.5, Uncertainties.Combined(0.005, 0.005), G), 0.01);
        Assert.Equal(4.243, Uncertainties.Combined(3, 3), 0.001);
    }

    private static double HalfSine(double sinceS, double lengthS) => sinceS < 0 || sinceS > lengthS ? 0 : Math.Sin(Math.PI * sinceS / lengthS);

    private static SampleTrack Track(double rateHz, Func<double, double> upMps2, double lengthS)
    {
        var track = new SampleTrack(rateHz, 3, G);
        for (var i = 0; i < lengthS * rateHz; i++)
        {
            track.Append(new(SampleTime.FromSeconds(i / rateHz), new(0, 0, upMps2(i / rateHz)), Vector3D.Zero, Rotation.Identity, SampleMarks.None));
        }

        return track;
    }
}
