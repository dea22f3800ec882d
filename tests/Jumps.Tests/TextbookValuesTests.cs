using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Jumps.Tests;

/// <summary>Published and textbook values of jumps, turns and splits.</summary>
public sealed class TextbookValuesTests
{
    // Figure skater: 0.73 s in the air, 0.66 m from film, 0.6533 m by g T^2 / 8 (a skating exhibit of a science museum, 2 per cent).
    // Hang time 0.6996 s of a rise of 0.60 m; 1.03 s (1.0262 by arithmetic) of 1.29 m with 5.03 m/s, g 9.8 (textbook exercises); with g 9.80665 0.04 per cent shorter.
    // Centre of mass at 1.02 m, 1.80 m and 0.890 m: 0.8295 s (inputs of a textbook's variant, by arithmetic).
    [Theory]
    [InlineData(0.73, 0, 0.6533)]
    [InlineData(0.6996, 0, 0.600)]
    [InlineData(1.0258, 0, 1.290)]
    [InlineData(0.8295, 0.130, 0.780)]
    public void Height_belongs_to_the_hang_time(double flightTimeS, double landingDropM, double riseM)
    {
        var body = new TextbookJump { FlightTimeS = flightTimeS, LandingDropM = landingDropM, SampleRateHz = 1000 };
        var jump = Assert.Single(body.Track(new() { LongestFlightTimeS = 1.2 }).Jumps);
        Assert.Equal(flightTimeS, jump.FlightTimeS, 0.003);
        Assert.Equal(riseM, jump.HeightM, 0.012);
        Assert.Equal(Math.Sqrt(2 * 9.80665 * riseM), jump.TakeoffVelocityMps!.Value, 0.03);
    }

    // Halliday, Resnick and Walker, Fundamentals of Physics, 11th ed., chapter 11 problem 64, a turning leap: trunk 0.660 kg m2, a horizontal leg 1.44 kg m2; first one leg
    // is horizontal and the other hangs, then both are at 30 deg: 2.10 and 1.38 kg m2, the body turns 1.52 times as fast.
    [Fact]
    public void Legs_that_close_turn_the_body_faster_by_the_inertia_they_take_away()
    {
        var open = ConstantMomentum.Inertia(1.44, 0.660, 90, 0);
        var closed = ConstantMomentum.Inertia(1.44, 0.660, -30, 30);
        Assert.Equal(2.10, open, 0.005);
        Assert.Equal(1.38, closed, 0.005);
        Assert.Equal(1.5217, open / closed, 0.001);
    }

    // 1 - cos of the lean: 1.52, 6.03 and 13.40 per cent at 10, 20 and 30 deg is what a rate about the trunk's long axis would lose (by arithmetic).
    [Theory]
    [InlineData(10, 0.0152)]
    [InlineData(20, 0.0603)]
    [InlineData(30, 0.1340)]
    public void A_leaning_trunk_loses_nothing_of_the_turn(double leanDeg, double alongAxisLosesShare)
    {
        var leaning = new TextbookJump
        {
            FlightTimeS = 0.45,
            TurnRateRadps = 800 * Angles.RadPerDeg,
            BodyFromSensor = Rotation.FromRotationVector(new(leanDeg * Angles.RadPerDeg, 0, 0)),
        };
        var jump = Assert.Single(leaning.Track().Jumps);

        // 360 deg in 0.45 s are 800 deg/s (by arithmetic).
        Assert.Equal(360, jump.TurnFlightDeg!.Value, 2.0);
        Assert.Equal(800, jump.TurnRateTakeoffDps!.Value, 1.0);
        var alongAxisDps = leaning.Samples().First().AngularRateSensorRadps.Z * Angles.DegPerRad;
        Assert.Equal(alongAxisLosesShare, 1 - (alongAxisDps / 800), 0.0001);
    }

    // In one plane inclinations add up: 85 + 80 = 165; 95 + 95 = 190, where the angle between the legs, acos, would be 170 (definition, by arithmetic).
    [Theory]
    [InlineData(85, -80, 165, 165)]
    [InlineData(95, -95, 190, 170)]
    public void Splits_beyond_a_straight_line_are_told_as_such(double frontDeg, double rearDeg, double splitDeg, double betweenLegsDeg)
    {
        Assert.Equal(splitDeg, SplitMeasure.AngleDeg(frontDeg, rearDeg, JumpForm.Leap, signed: true), 1e-9);
        Assert.Equal(betweenLegsDeg, BetweenDeg(frontDeg, rearDeg, 0), 1e-6);
    }

    // 85 and 80 deg with 20 deg of azimuth between their planes are 155.06 deg between the legs (acos): what the sum of inclinations calls 165.
    [Fact]
    public void Legs_that_open_sideways_are_counted_too_wide_by_what_is_stated()
    {
        Assert.Equal(155.06, BetweenDeg(85, -80, 20), 0.01);
        Assert.Equal(165, SplitMeasure.AngleDeg(85, -80, JumpForm.Leap, signed: true), 1e-9);
    }

    private static double BetweenDeg(double frontDeg, double rearDeg, double azimuthDeg)
    {
        static Vector3D Leg(double deg, double azimuthDeg)
        {
            var (sin, cos) = Math.SinCos(deg * Angles.RadPerDeg);
            var (side, along) = Math.SinCos(azimuthDeg * Angles.RadPerDeg);
            return new(sin * along, sin * side, -cos);
        }

        return Math.Acos(Vector3D.Dot(Leg(frontDeg, 0), Leg(rearDeg, azimuthDeg))) * Angles.DegPerRad;
    }
}
