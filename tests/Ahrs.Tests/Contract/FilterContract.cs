using FsCheck;
using FsCheck.Xunit;
using Saltograph.Imu;
using Saltograph.Testing;

namespace Saltograph.Ahrs.Tests;

/// <summary>What every filter must do. One sealed class per filter runs all of it.</summary>
/// <typeparam name="TState">Its checkpoint.</typeparam>
public abstract class FilterContract<TState>
    where TState : struct
{
    protected const double RateHz = 100;

    protected abstract OrientationFilter Create();

    protected abstract TState Capture(OrientationFilter filter);

    protected abstract void Restore(OrientationFilter filter, TState state);

    [Property(MaxTest = 20)]
    public void Orientation_has_unit_length_in_any_motion(int seed)
    {
        var motion = new Motion(seed, RateHz, seconds: 5);
        var filter = Create();
        for (var i = 0; i < motion.Length; i++)
        {
            Assert.True(filter.Update(motion.AngularRate[i], motion.SpecificForce[i], motion.MagneticField[i]).IsAccepted);
            var q = filter.EarthFromSensor;
            Assert.Equal(1, Math.Sqrt((q.W * q.W) + (q.X * q.X) + (q.Y * q.Y) + (q.Z * q.Z)), 12);
        }
    }

    [Property(MaxTest = 20)]
    public void A_still_sensor_stays_still(int seed)
    {
        var sensorFromEarth = new Motion(seed, RateHz, 0.1).Start.Inverse;
        var force = sensorFromEarth.Rotate(new(0, 0, Gravity.StandardMps2));
        var filter = Create();
        var settled = Rotation.Identity;
        for (var i = 0; i < 1000; i++)
        {
            filter.Update(Vector3D.Zero, force);
            settled = i == 200 ? filter.EarthFromSensor : settled;
        }

        Assert.InRange(filter.EarthFromSensor.AngleToRad(settled) * Angles.DegPerRad, 0, 0.05);
        Assert.InRange((filter.EarthFromSensor.Rotate(force) - new Vector3D(0, 0, Gravity.StandardMps2)).Length, 0, 0.01);
        Assert.True(filter.IsAtRest);
    }

    [Property(MaxTest = 20)]
    public void Earth_turned_about_the_vertical_turns_the_output_alike(int seed)
    {
        // Gyroscope and accelerometer cannot tell the two apart; only the magnetometer does. Pure rotation, because an
        // acceleration would tilt the field by its own direction, which does not turn with the body.
        var motion = new Motion(seed, RateHz, seconds: 5, accelerates: false, fastestRadps: 1);
        var turn = Rotation.AboutVertical(new Random(seed).NextDouble() * 6);
        var turned = new Motion(seed, RateHz, seconds: 5, turn, accelerates: false, fastestRadps: 1);
        var one = Create();
        var other = Create();
        for (var i = 0; i < motion.Length; i++)
        {
            one.Update(motion.AngularRate[i], motion.SpecificForce[i], motion.MagneticField[i]);
            other.Update(turned.AngularRate[i], turned.SpecificForce[i], turned.MagneticField[i]);
        }

        // Not exact: a filter compares a sample with the orientation before it, and that small lag is a tilt error, which
        // meets another field direction. The turn itself is up to 6 rad.
        Assert.InRange((turn * one.EarthFromSensor).AngleToRad(other.EarthFromSensor), 0, 0.02);
    }

    [Property(MaxTest = 10)]
    public void Sensor_mounted_otherwise_gives_the_same_inclination(int seed)
    {
        var motion = new Motion(seed, RateHz, seconds: 5, accelerates: false, fastestRadps: 1);
        var mounting = new Motion(seed + 1, RateHz, 0.1).Start;
        var one = Create();
        var other = Create();
        for (var i = 0; i < motion.Length; i++)
        {
            one.Update(motion.AngularRate[i], motion.SpecificForce[i]);
            other.Update(mounting.Rotate(motion.AngularRate[i]), mounting.Rotate(motion.SpecificForce[i]));
        }

        // Rest and bias limits look at single axes, and a normalised gradient is not the same in other axes, so the two may
        // differ by a little.
        var up = one.EarthFromSensor.Inverse.Rotate(Vector3D.UnitZ);
        var otherUp = mounting.Inverse.Rotate(other.EarthFromSensor.Inverse.Rotate(Vector3D.UnitZ));
        Assert.InRange((up - otherUp).Length, 0, 0.02);
    }

    [Property(MaxTest = 20)]
    public void Split_input_equals_whole_input_and_a_restored_state_goes_on_exactly(int seed)
    {
        var motion = new Motion(seed, RateHz, seconds: 4);
        var whole = Create();
        var first = Create();
        var second = Create();
        var cut = new Random(seed).Next(motion.Length);
        for (var i = 0; i < motion.Length; i++)
        {
            if (i == cut)
            {
                Restore(second, Capture(first));
            }

            whole.Update(motion.Sample(i), motion.MagneticField[i]);
            (i < cut ? first : second).Update(motion.Sample(i), motion.MagneticField[i]);
        }

        Assert.Equal(whole.EarthFromSensor, second.EarthFromSensor);
        Assert.Equal(whole.GyroscopeBiasSensorRadps, second.GyroscopeBiasSensorRadps);
        Assert.Equal(whole.GyroscopeBiasSigmaRadps, second.GyroscopeBiasSigmaRadps);
        Assert.Equal(whole.IsAtRest, second.IsAtRest);
    }

    [Theory]
    [InlineData(0, InputFault.AngularRateNotFinite)]
    [InlineData(1, InputFault.SpecificForceNotFinite)]
    [InlineData(2, InputFault.MagneticFieldNotFinite)]
    public void A_reading_that_is_no_number_is_refused_with_its_reason_and_changes_nothing(int which, InputFault expected)
    {
        foreach (var bad in new[] { double.NaN, double.PositiveInfinity, double.NegativeInfinity })
        {
            var motion = new Motion(7, RateHz, seconds: 1);
            var filter = Create();
            var untouched = Create();
            for (var i = 0; i < 50; i++)
            {
                filter.Update(motion.Sample(i), motion.MagneticField[i]);
                untouched.Update(motion.Sample(i), motion.MagneticField[i]);
            }

            var broken = new Vector3D(0, bad, 0);
            var sample = new ImuSample(
                motion.Sample(50).Time,
                which == 1 ? broken : motion.SpecificForce[50],
                which == 0 ? broken : motion.AngularRate[50]);
            var result = filter.Update(sample, which == 2 ? broken : motion.MagneticField[50]);
            Assert.Equal(expected, result.Fault);
            Assert.Contains("not finite", result.Reason, StringComparison.Ordinal);
            for (var i = 50; i < motion.Length; i++)
            {
                filter.Update(motion.Sample(i), motion.MagneticField[i]);
                untouched.Update(motion.Sample(i), motion.MagneticField[i]);
            }

            Assert.Equal(untouched.EarthFromSensor, filter.EarthFromSensor);
        }
    }

    [Fact]
    public void A_reading_that_no_sensor_can_give_is_refused_and_changes_nothing()
    {
        var filter = Create();
        filter.Update(Vector3D.Zero, new(0, 0, 9.81));
        var before = filter.EarthFromSensor;
        Assert.Equal(InputFault.AngularRateTooLarge, filter.Update(new Vector3D(0, 1e200, 0), new(0, 0, 9.81)).Fault);
        Assert.Equal(InputFault.SpecificForceTooLarge, filter.Update(Vector3D.Zero, new(0, 0, -1e200)).Fault);
        var result = filter.Update(Vector3D.Zero, new(0, 0, 9.81), new(double.MaxValue, 0, 0));
        Assert.Equal(InputFault.MagneticFieldTooLarge, result.Fault);
        Assert.Equal("magnetic field is too large; allowed: up to 1e12 on each axis", result.Reason);
        Assert.Equal(before, filter.EarthFromSensor);
    }

    [Fact]
    public void A_jump_in_time_is_refused_with_its_reason_unless_the_sample_says_that_it_follows_a_gap()
    {
        var motion = new Motion(3, RateHz, seconds: 1);
        var filter = Create();
        Assert.True(filter.Update(motion.Sample(0)).IsAccepted);
        Assert.True(filter.Update(motion.Sample(1)).IsAccepted);

        var late = motion.Sample(2) with { Time = new(50_000) };
        var result = filter.Update(late);
        Assert.Equal(new UpdateResult(InputFault.TimeJump, 0.04, 0.01), result);
        Assert.Equal("time step 0.04 s since the last sample; allowed: 0.005 to 0.015 s", result.Reason);
        Assert.Equal(InputFault.TimeTooEarly, filter.Update(motion.Sample(1)).Fault);
        Assert.Equal(InputFault.TimeTooEarly, filter.Update(motion.Sample(0)).Fault);

        Assert.True(filter.Update(late with { Marks = SampleMarks.AfterGap }).IsAccepted);
        Assert.True(filter.Update(motion.Sample(3) with { Time = new(60_000) }).IsAccepted);
    }

    [Fact]
    public void Readings_of_exact_zero_keep_the_orientation_finite()
    {
        // Zero length, an axis of exactly zero, a gradient of exactly zero (level from the start), upside down.
        Vector3D[] forces = [Vector3D.Zero, new(0, 0, 9.81), new(0, 9.81, 0), new(0, 0, -9.81), new(1e-300, 0, 0)];
        foreach (var force in forces)
        {
            foreach (var field in new Vector3D[] { Vector3D.Zero, new(0, 0, 40), new(20, 0, 0), new(0, 1e-300, 0) })
            {
                var filter = Create();
                for (var i = 0; i < 300; i++)
                {
                    Assert.True(filter.Update(Vector3D.Zero, i % 50 == 0 ? Vector3D.Zero : force, field).IsAccepted);
                    var q = filter.EarthFromSensor;
                    Assert.True(double.IsFinite(q.W + q.X + q.Y + q.Z), $"force {force}, field {field}, sample {i}: {q}");
                }
            }
        }
    }

    [Fact]
    public void A_sample_allocates_nothing()
    {
        var motion = new Motion(1, RateHz, seconds: 10);
        var filter = Create();
        Assert.Equal(0, Allocation.LeastBytes(pass =>
        {
            for (var i = 0; i < motion.Length; i++)
            {
                filter.Update(motion.Sample(i), motion.MagneticField[i]);
                _ = filter.EarthFromSensor;
            }
        }));
    }

    [Fact]
    public void Reset_goes_back_to_the_start()
    {
        var motion = new Motion(5, RateHz, seconds: 3);
        var used = Create();
        for (var i = 0; i < motion.Length; i++)
        {
            used.Update(motion.Sample(i), motion.MagneticField[i]);
        }

        used.Reset();
        var fresh = Create();
        for (var i = 0; i < motion.Length; i++)
        {
            Assert.True(used.Update(motion.Sample(i)).IsAccepted);
            fresh.Update(motion.Sample(i));
        }

        Assert.Equal(fresh.EarthFromSensor, used.EarthFromSensor);
    }
}
