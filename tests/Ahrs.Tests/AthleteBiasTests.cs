using Saltograph.Imu;

namespace Saltograph.Ahrs.Tests;

public sealed class AthleteBiasTests
{
    /// <summary>
    /// Sway of a standing person: rates of 0.15 deg/s that last 0.5 s, and the tilt they lead to, drawn back by posture.
    /// Common practice, no source; the same figures are the filter's rest options.
    /// </summary>
    [Fact]
    public void True_bias_lies_inside_two_sigma_in_about_95_per_cent_of_runs_after_long_standing()
    {
        var inside = 0;
        var all = 0;
        double squares = 0;
        for (var seed = 0; seed < 100; seed++)
        {
            var (filter, bias) = Stand(seed, seconds: 60);
            var sigma = filter.GyroscopeBiasSigmaSensorRadps;
            var error = filter.GyroscopeBiasSensorRadps - bias;
            foreach (var (e, s) in new[] { (error.X, sigma.X), (error.Y, sigma.Y), (error.Z, sigma.Z) })
            {
                inside += Math.Abs(e) <= 2 * s ? 1 : 0;
                squares += e * e / (s * s);
                all++;
            }
        }

        // 300 draws: two standard deviations of a 95 per cent share are 2.5 per cent. The filter allows for a wandering bias,
        // this one stands still, hence a little more than 95.
        TestContext.Current.SendDiagnosticMessage("inside two sigma: {0} of {1}, rms error over sigma {2}", inside, all, Math.Sqrt(squares / all));
        Assert.InRange((double)inside / all, 0.92, 0.99);
    }

    private static (AthleteFilter Filter, Vector3D Bias) Stand(int seed, double seconds)
    {
        const double RateHz = 100;
        var random = new Random(seed);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        Vector3D Draw(double sigma) => sigma * new Vector3D(Normal(), Normal(), Normal());
        var bias = Draw(0.7 * Angles.RadPerDeg);
        var mounting = new Rotation(Normal(), Normal(), Normal(), Normal()).Normalized();
        var filter = new AthleteFilter(new(), RateHz);
        var sway = Draw(0.15 * Angles.RadPerDeg);
        var q = Rotation.Identity;
        var keep = Math.Exp(-1 / (0.5 * RateHz));
        for (var i = 0; i < seconds * RateHz; i++)
        {
            sway = (keep * sway) + Draw(0.15 * Angles.RadPerDeg * Math.Sqrt(1 - (keep * keep)));
            q = (q * Rotation.FromRotationVector(sway / RateHz)).Normalized();
            var rate = mounting.Inverse.Rotate(sway) + bias + Draw(0.05 * Angles.RadPerDeg);
            var force = mounting.Inverse.Rotate(q.Inverse.Rotate(new(0, 0, Gravity.StandardMps2))) + Draw(0.02);
            filter.Update(rate, force);
        }

        return (filter, bias);
    }
}
