using FsCheck.Xunit;

namespace Saltograph.Imu.Tests;

/// <summary>Units at the edge, against UCUM and worked numbers.</summary>
public sealed class UnitTests
{
    // UCUM, ucum-essence.xml: [g] = 9.80665 m/s2, exact. (UCUM's plain g is the gram.)
    [Fact]
    public void Standard_gravity_is_that_of_UCUM() => Assert.Equal(9.80665, Gravity.StandardMps2);

    // UCUM: deg = 2 [pi].rad / 360; hence 1000 deg/s = 17.453292520 rad/s (nine digits).
    [Fact]
    public void A_thousand_degrees_per_second_are_17_453292520_radians_per_second()
    {
        Near.Equal(17.453292520, 1000 * Angles.RadPerDeg, 5e-10);
        Near.Equal(1000, 17.453292519943297 * Angles.DegPerRad, 1e-12);
        Near.Equal(1, Angles.DegPerRad * Angles.RadPerDeg, 1e-16);
    }

    // A 16-bit sensor spreads its range over 32768 counts a side: at 16 g 2048 counts are 1 [g] = 9.80665 m/s2,
    // at 2000 deg/s 16 counts are 0.9765625 deg/s. Exact arithmetic.
    [Fact]
    public void Counts_become_physical_values_as_worked_by_hand()
    {
        var metresPerSecondSquaredPerCount = 16 * Gravity.StandardMps2 / 32768;
        var radiansPerSecondPerCount = 2000 * Angles.RadPerDeg / 32768;
        Near.Equal(9.80665, 2048 * metresPerSecondSquaredPerCount, 1e-15);
        Near.Equal(0.9765625, 16 * radiansPerSecondPerCount * Angles.DegPerRad, 1e-15);
    }

    [Property]
    public void A_wrapped_angle_is_the_same_direction_within_half_a_turn(int milliradians)
    {
        var angle = milliradians * 1e-3;
        var wrapped = Angles.WrapRad(angle);
        Assert.True(wrapped is > -Math.PI and <= Math.PI, $"{angle} became {wrapped}");

        // Multiplying 2 pi by the number of turns rounds; a millionth part of a second of arc is left for that.
        Near.Equal(Math.Cos(angle), Math.Cos(wrapped), 1e-9);
        Near.Equal(Math.Sin(angle), Math.Sin(wrapped), 1e-9);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(Math.PI, Math.PI)]
    [InlineData(-Math.PI, Math.PI)]
    [InlineData(3 * Math.PI, Math.PI)]
    [InlineData(-0.5, -0.5)]
    [InlineData((2 * Math.PI) + 0.25, 0.25)]
    public void Wrapping_keeps_plus_pi_and_not_minus_pi(double angleRad, double wrappedRad) =>
        Near.Equal(wrappedRad, Angles.WrapRad(angleRad), 1e-15);
}
