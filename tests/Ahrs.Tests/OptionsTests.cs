using Saltograph.Imu;

namespace Saltograph.Ahrs.Tests;

public sealed class OptionsTests
{
    [Fact]
    public void A_value_outside_its_range_is_refused_with_what_was_found_and_what_is_allowed()
    {
        var problem = Assert.Throws<ArgumentOutOfRangeException>(() => new VqfFilter(new() { AccelerometerTimeConstantS = -1 }, 100));
        Assert.StartsWith("AccelerometerTimeConstantS is -1; allowed: 0 to 1000.", problem.Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => new VqfFilter(new() { RestMinimumTimeS = double.NaN }, 100));
        Assert.Throws<ArgumentOutOfRangeException>(() => new MahonyFilter(new() { ProportionalGainPerS = 101 }, 100));
        Assert.Throws<ArgumentOutOfRangeException>(() => new MadgwickFilter(new() { GainPerS = -0.1 }, 100));
        Assert.Throws<ArgumentOutOfRangeException>(() => new AthleteFilter(new() { Magnetic = new() { BiasLimitDps = 0 } }, 100));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-100)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void A_sample_rate_that_cannot_be_is_refused(double rateHz)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new VqfFilter(new(), rateHz));
        Assert.Throws<ArgumentOutOfRangeException>(() => new AthleteFilter(new(), rateHz));
        Assert.Throws<ArgumentOutOfRangeException>(() => new MahonyFilter(new(), rateHz));
        Assert.Throws<ArgumentOutOfRangeException>(() => new MadgwickFilter(new(), rateHz));
    }

    /// <summary>The limits of every option, so that none throws at its edge and every filter stays finite there.</summary>
    [Fact]
    public void The_edges_of_the_time_constants_work()
    {
        var motion = new Motion(1, 100, seconds: 3);
        foreach (var options in new VqfOptions[]
        {
            new() { AccelerometerTimeConstantS = 0, MagnetometerTimeConstantS = 0, RestFilterTimeConstantS = 0, MagneticFilterTimeConstantS = 0 },
            new() { AccelerometerTimeConstantS = 1000, MagnetometerTimeConstantS = 10_000, MagneticReferenceTimeConstantS = 0 },
        })
        {
            var filter = new VqfFilter(options, 100);
            for (var i = 0; i < motion.Length; i++)
            {
                filter.Update(motion.AngularRate[i], motion.SpecificForce[i], motion.MagneticField[i]);
            }

            var q = filter.EarthFromSensor;
            Assert.Equal(1, (q.W * q.W) + (q.X * q.X) + (q.Y * q.Y) + (q.Z * q.Z), 1e-12);
        }
    }
}
