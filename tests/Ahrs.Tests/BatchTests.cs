using Saltograph.Imu;
using Saltograph.Testing;

namespace Saltograph.Ahrs.Tests;

public sealed class BatchTests
{
    public static TheoryData<int, int, bool> Shapes => new()
    {
        { 1, 4, false }, { 5, 4, true }, { 8, 8, true }, { 11, 8, false }, { 3, 0, true },
    };

    [Theory]
    [MemberData(nameof(Shapes))]
    public void Sensors_side_by_side_give_what_each_gives_alone(int sensors, int lanes, bool magnetic)
    {
        var motions = Enumerable.Range(0, sensors).Select(i => new Motion(i, 100, seconds: 30)).ToArray();
        var coefficients = VqfCoefficients.From(new(), 100);
        var alone = motions.Select(_ => new VqfFilter(coefficients)).ToArray();
        var batch = new VqfBatch(coefficients, sensors, lanes);
        var rates = new double[3 * batch.Stride];
        var forces = new double[3 * batch.Stride];
        var fields = new double[3 * batch.Stride];
        for (var i = 0; i < motions[0].Length; i++)
        {
            var refused = false;
            for (var s = 0; s < sensors; s++)
            {
                // Sensors differ in when they rest, drop out (zeros) and send nonsense.
                var still = (i / 400 % 3) == (s % 3);
                var rate = still ? new Vector3D(0.01, -0.005, 0.002) : motions[s].AngularRate[i];
                var force = still ? new Vector3D(0, 9.81, 0.3) : (i + s) % 97 == 0 ? Vector3D.Zero : motions[s].SpecificForce[i];
                rate = (i + (3 * s)) % 211 == 0 ? new(double.NaN, 0, 0) : rate;
                var field = motions[s].MagneticField[i];
                Put(rates, batch.Stride, s, rate);
                Put(forces, batch.Stride, s, force);
                Put(fields, batch.Stride, s, field);
                var result = magnetic ? alone[s].Update(rate, force, field) : alone[s].Update(rate, force);
                refused |= !result.IsAccepted;
            }

            Assert.Equal(!refused, magnetic ? batch.Update(rates, forces, fields) : batch.Update(rates, forces));
            for (var s = 0; s < sensors; s++)
            {
                Assert.InRange(alone[s].EarthFromSensor.AngleToRad(batch.EarthFromSensor(s)), 0, 1e-9);
                Assert.InRange((alone[s].GyroscopeBiasSensorRadps - batch.GyroscopeBiasSensorRadps(s)).Length, 0, 1e-10);
                Assert.Equal(alone[s].IsAtRest, batch.IsAtRest(s));
                Assert.Equal(!double.IsFinite(rates[s]), batch.WasRefused(s));
            }
        }
    }

    [Fact]
    public void Recorded_motion_gives_the_same_in_the_batch()
    {
        Shared.Require("golden", "ahrs");
        var recording = Recording.Golden("c_broad18_285hz");
        var coefficients = VqfCoefficients.From(new(), recording.RateHz);
        var alone = new VqfFilter(coefficients);
        var batch = new VqfBatch(coefficients, 2);
        var rates = new double[3 * batch.Stride];
        var forces = new double[3 * batch.Stride];
        for (var i = 0; i < recording.Length; i++)
        {
            Put(rates, batch.Stride, 1, recording.AngularRate[i]);
            Put(forces, batch.Stride, 1, recording.SpecificForce[i]);
            alone.Update(recording.AngularRate[i], recording.SpecificForce[i]);
            batch.Update(rates, forces);
        }

        Assert.InRange(alone.EarthFromSensor.AngleToRad(batch.EarthFromSensor(1)), 0, 1e-9);
    }

    [Fact]
    public void A_restored_batch_goes_on_exactly()
    {
        var motion = new Motion(1, 100, seconds: 6);
        var whole = new VqfBatch(VqfCoefficients.From(new(), 100), 3);
        var other = new VqfBatch(VqfCoefficients.From(new(), 100), 3);
        var rates = new double[3 * whole.Stride];
        var forces = new double[3 * whole.Stride];
        var fields = new double[3 * whole.Stride];
        for (var i = 0; i < motion.Length; i++)
        {
            if (i == 250)
            {
                other.Restore(whole.Capture());
            }

            Put(rates, whole.Stride, 2, motion.AngularRate[i]);
            Put(forces, whole.Stride, 2, motion.SpecificForce[i]);
            Put(fields, whole.Stride, 2, motion.MagneticField[i]);
            whole.Update(rates, forces, fields);
            if (i >= 250)
            {
                other.Update(rates, forces, fields);
            }
        }

        Assert.Equal(whole.EarthFromSensor(2), other.EarthFromSensor(2));
        Assert.Throws<ArgumentException>(() => whole.Restore(new VqfBatch(VqfCoefficients.From(new(), 100), 30).Capture()));
    }

    [Fact]
    public void A_batch_sample_allocates_nothing()
    {
        var batch = new VqfBatch(VqfCoefficients.From(new(), 100), 8);
        var rates = new double[3 * batch.Stride];
        var forces = Enumerable.Repeat(5.0, 3 * batch.Stride).ToArray();
        Assert.Equal(0, Allocation.LeastBytes(_ =>
        {
            for (var i = 0; i < 400; i++)
            {
                batch.Update(rates, forces, forces);
            }
        }));
    }

    private static void Put(double[] values, int stride, int sensor, Vector3D v)
    {
        values[sensor] = v.X;
        values[stride + sensor] = v.Y;
        values[(2 * stride) + sensor] = v.Z;
    }
}
