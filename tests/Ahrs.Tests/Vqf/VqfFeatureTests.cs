using Saltograph.Imu;

namespace Saltograph.Ahrs.Tests;

/// <summary>What each part of VQF adds, in all combinations, on rest at the start, motion, and rest at the end.</summary>
public sealed class VqfFeatureTests
{
    private const double RateHz = 100;
    private static readonly Vector3D Bias = new Vector3D(0.8, -0.5, 0.6) * Angles.RadPerDeg;

    public static TheoryData<bool, bool, bool> Combinations
    {
        get
        {
            var data = new TheoryData<bool, bool, bool>();
            for (var i = 0; i < 8; i++)
            {
                data.Add((i & 1) != 0, (i & 2) != 0, (i & 4) != 0);
            }

            return data;
        }
    }

    [Theory]
    [MemberData(nameof(Combinations))]
    public void Bias_is_learned_by_the_estimator_that_is_on(bool motionBias, bool restBias, bool rejection)
    {
        var filter = new VqfFilter(
            new() { MotionBiasEstimation = motionBias, RestBiasEstimation = restBias, MagneticDisturbanceRejection = rejection }, RateHz);
        var motion = new Motion(11, RateHz, seconds: 60);

        Rest(filter, motion.Start, 10);
        var afterRest = (filter.GyroscopeBiasSensorRadps - Bias).Length;
        Assert.Equal(restBias || rejection, filter.IsAtRest);
        Assert.Equal(restBias, afterRest < 0.2 * Bias.Length);

        for (var i = 0; i < motion.Length; i++)
        {
            filter.Update(motion.AngularRate[i] + Bias, motion.SpecificForce[i], motion.MagneticField[i]);
        }

        Assert.False(filter.IsAtRest);
        var afterMotion = (filter.GyroscopeBiasSensorRadps - Bias).Length;
        Assert.Equal(motionBias || restBias, afterMotion < 0.5 * Bias.Length);
        if (!motionBias && !restBias)
        {
            Assert.Equal(Vector3D.Zero, filter.GyroscopeBiasSensorRadps);
            Assert.Null(filter.GyroscopeBiasSigmaRadps);
        }

        // A magnet comes near: noticed only with rejection on.
        var before = filter.IsMagneticFieldDisturbed;
        for (var i = 0; i < 200; i++)
        {
            filter.Update(motion.AngularRate[i] + Bias, motion.SpecificForce[i], 2 * motion.MagneticField[i]);
        }

        Assert.True(filter.IsMagneticFieldDisturbed);
        Assert.Equal(!rejection, before);
    }

    [Fact]
    public void Sensors_with_own_rates_agree_with_a_common_rate()
    {
        // The gyroscope twice as fast as the accelerometer, the magnetometer ten times slower.
        var motion = new Motion(5, 200, seconds: 20);
        var own = new VqfFilter(VqfCoefficients.From(new(), 200, 100, 20));
        var common = new VqfFilter(new(), 200);
        for (var i = 0; i < motion.Length; i++)
        {
            own.UpdateAngularRate(motion.AngularRate[i]);
            if (i % 2 == 1)
            {
                own.UpdateSpecificForce(motion.SpecificForce[i]);
            }

            if (i % 10 == 9)
            {
                own.UpdateMagneticField(motion.MagneticField[i]);
            }

            common.Update(motion.AngularRate[i], motion.SpecificForce[i], motion.MagneticField[i]);
        }

        Assert.InRange(own.EarthFromSensor.AngleToRad(common.EarthFromSensor) * Angles.DegPerRad, 0, 1);
        Assert.Equal(InputFault.AngularRateNotFinite, own.UpdateAngularRate(new(double.NaN, 0, 0)).Fault);
        Assert.Equal(InputFault.SpecificForceNotFinite, own.UpdateSpecificForce(new(double.NaN, 0, 0)).Fault);
        Assert.Equal(InputFault.MagneticFieldNotFinite, own.UpdateMagneticField(new(double.NaN, 0, 0)).Fault);
    }

    private static void Rest(VqfFilter filter, Rotation earthFromSensor, double seconds)
    {
        var force = earthFromSensor.Inverse.Rotate(new(0, 0, Gravity.StandardMps2));
        var field = earthFromSensor.Inverse.Rotate(new(0, 20, -40));
        for (var i = 0; i < seconds * RateHz; i++)
        {
            filter.Update(Bias, force, field);
        }
    }
}
