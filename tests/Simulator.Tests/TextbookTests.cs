using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;
using Saltograph.Simulator.Sensors;
using Saltograph.Simulator.Truth;

namespace Saltograph.Simulator.Tests;

/// <summary>The body and the kinematics against textbooks and tables.</summary>
public sealed class TextbookTests
{
    private static readonly UpperBody ArmsDown = new(0, 0, 0, 0, 0, 0);
    private static readonly UpperBody ArmsOut = new(0, 0, Math.PI / 2, 0, Math.PI / 2, 0);
    private static readonly LegAngles Hanging = new(0, 0, 0, 0);

    private static (Vector3D Centre, double Inertia) Of(BodyModel body, UpperBody upper, LegAngles left, LegAngles right)
    {
        var posture = new Posture(
            body, upper, Leg.Pose(body, left), Leg.Pose(body, right), new Vector3D[Posture.PointCount], new double[Posture.PointCount]);
        return (posture.Centre, posture.VerticalInertiaKgM2());
    }

    [Fact]
    public void Ballerinas_tour_jete_turns_faster_when_the_legs_close()
    {
        // Halliday, Resnick and Walker, Fundamentals of Physics, 11th edition, chapter 11 problem 64: leg 1.44 kg m2 about the
        // hip, trunk 0.660 kg m2; from one leg at 90 deg to both at 30 deg the rate grows by 1.52 (2.10 to 1.38 kg m2).
        const double mass = 4;
        const double centre = 0.4;
        var leg = new SlenderMass(mass, centre, Math.Sqrt((1.44 / mass) - (centre * centre)), 0);
        var nothing = new SlenderMass(1e-12, 0, 0, 0);
        // A heavy trunk keeps the axis through the hips, as the problem has it.
        var body = new BodyModel(new(1e9, 0, 0, 0.660), nothing, leg, nothing, 0.5, 0.5, 0);
        var before = Of(body, ArmsDown, new(Math.PI / 2, 0, 0, 0), Hanging).Inertia;
        var after = Of(body, ArmsDown, new(Math.PI / 6, 0, 0, 0), new(-Math.PI / 6, 0, 0, 0)).Inertia;
        Assert.Equal(2.10, before, 0.005);
        Assert.Equal(1.38, after, 0.005);
        Assert.Equal(1.5217, before / after, 0.001);
    }

    [Fact]
    public void Masses_sum_as_in_the_table()
    {
        // de Leva 1996, female, at second hand: fractions sum to 0.9999.
        Assert.Equal(0.9999, new BodyModel(50, 1.60).TotalMassKg / 50, 1e-4);
    }

    [Fact]
    public void Inertia_about_the_vertical_grows_with_arms_and_legs_as_computed_from_the_table()
    {
        // Derived by arithmetic from de Leva's inertias for 50 kg and 1.60 m: arms out 2.80 times, split 7.1 times arms down.
        var body = new BodyModel(50, 1.60);
        var down = Of(body, ArmsDown, Hanging, Hanging).Inertia;
        Assert.Equal(0.428, down, 0.01);
        Assert.Equal(2.80, Of(body, ArmsOut, Hanging, Hanging).Inertia / down, 0.05);
        Assert.Equal(7.1, Of(body, ArmsDown, new(Math.PI / 2, 0, 0, 0), new(-Math.PI / 2, 0, 0, 0)).Inertia / down, 0.1);
    }

    [Fact]
    public void Legs_in_a_split_raise_the_centre_of_mass_by_a_tenth_of_a_metre()
    {
        // Derived from de Leva's table for a stature of 1.60 m: 0.106 m.
        var body = new BodyModel(50, 1.60);
        var rise = Of(body, ArmsDown, new(Math.PI / 2, 0, 0, 0), new(-Math.PI / 2, 0, 0, 0)).Centre.Z - Of(body, ArmsDown, Hanging, Hanging).Centre.Z;
        Assert.Equal(0.106, rise, 0.005);
    }

    [Theory]
    [InlineData(311, 0.300, 0.002)]
    [InlineData(400, 0.497, 0.001)]
    [InlineData(800, 1.988, 0.001)]
    public void A_sensor_off_the_axis_of_a_turn_feels_the_centripetal_force(double rateDps, double expectedG, double toleranceG)
    {
        // Omega squared times 0.10 m, by arithmetic.
        const double step = 1e-4;
        var kinematics = new Kinematics(step);
        Vector3D force = default;
        Vector3D rate = default;
        for (var i = 0; i < 4; i++)
        {
            var angle = i * step * rateDps * Angles.RadPerDeg;
            var (sin, cos) = Math.SinCos(angle);
            _ = kinematics.Step(new(-0.1 * cos, -0.1 * sin, 1), Frame.Identity.Turned(cos, sin), out force, out rate);
        }

        Assert.Equal(expectedG, force.X / Gravity.StandardMps2, toleranceG);
        Assert.Equal(Gravity.StandardMps2, force.Z, 1e-6);
        Assert.Equal(rateDps, rate.Z * Angles.DegPerRad, 1e-3);
    }

    [Fact]
    public void Rates_integrate_back_to_the_orientation()
    {
        const double step = 1 / 1664.0;
        var (movement, jump) = MotionTests.AllJumps().First();
        var kinematics = new Kinematics(step);
        Frame? first = null;
        var attitude = Rotation.Identity;
        var last = Frame.Identity;
        for (var t = jump.TakeoffS - 1; t < jump.LandingS + 1; t += step)
        {
            var pose = movement.At(t);
            if (kinematics.Step(pose.Left.Ankle, pose.Left.Shank, out _, out var rate))
            {
                first ??= last;
                attitude = (attitude * Rotation.FromRotationVector(step * rate)).Normalized();
            }

            last = pose.Left.Shank;
        }

        // The rate belongs to the instant before the newest; two half steps at the ends remain (1000 deg/s: 0.6 deg each).
        var reached = first!.Value.ToRotation() * attitude;
        Assert.True(reached.AngleToRad(last.ToRotation()) < 1.5 * Angles.RadPerDeg);
    }

    [Fact]
    public void Split_is_the_sum_of_both_inclinations_also_beyond_a_half_turn()
    {
        // By arithmetic: 85 + 80 = 165 deg, 95 + 95 = 190 deg in one plane.
        static Vector3D Down(double deg) => new(Math.Sin(deg * Angles.RadPerDeg), 0, -Math.Cos(deg * Angles.RadPerDeg));
        Assert.Equal(165, TruthMeasures.SplitAngle(Down(85), Down(-80)) * Angles.DegPerRad, 1e-9);
        Assert.Equal(190, TruthMeasures.SplitAngle(Down(-95), Down(95)) * Angles.DegPerRad, 1e-9);
    }

    [Fact]
    public void The_shock_filter_keeps_a_constant_and_halves_the_amplitude_at_its_cut_off()
    {
        // Second-order Butterworth twice: -3 dB twice at 60 Hz (amplitude 0.5), nothing at 0 Hz.
        const double fs = 1664;
        var constant = Enumerable.Repeat(3.0, 800).ToArray();
        LowPassBothWays.Apply(constant, 60, fs);
        Assert.All(constant, value => Assert.Equal(3.0, value, 1e-9));
        var tone = Enumerable.Range(0, 3000).Select(i => Math.Sin(2 * Math.PI * 60 * i / fs)).ToArray();
        LowPassBothWays.Apply(tone, 60, fs);
        Assert.Equal(0.5, tone[1000..2000].Max(), 0.005);
    }

    [Fact]
    public void Forward_and_inverse_kinematics_of_the_leg_agree()
    {
        var body = new BodyModel(45, 1.55);
        var random = new Pcg32(3, 9);
        for (var i = 0; i < 200; i++)
        {
            var angles = new LegAngles(random.Between(-1.4, 1.4), random.Between(-0.6, 0.6), random.Between(-1, 1), random.Between(0.3, 2.2));
            var ankle = Leg.Pose(body, angles).Ankle;
            var back = Leg.Angles(body, ankle, angles.Phi);
            Assert.Equal(angles.Theta, back.Theta, 1e-9);
            Assert.Equal(angles.Gamma, back.Gamma, 1e-9);
            Assert.Equal(angles.Kappa, back.Kappa, 1e-9);
            Assert.True((Leg.Reach(body, ankle, angles.Phi).Ankle - ankle).Length < 1e-12);
        }
    }
}
