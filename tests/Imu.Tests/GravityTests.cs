namespace Saltograph.Imu.Tests;

/// <summary>Normal gravity of WGS 84 at the equator, 45 deg and the pole (NIMA TR8350.2), and at 42.7 deg by the same formula.</summary>
public sealed class GravityTests
{
    [Theory]
    [InlineData(0, 9.780325336)]
    [InlineData(45, 9.806197769)]
    [InlineData(90, 9.832184938)]
    [InlineData(42.7, 9.804118609)]
    [InlineData(-42.7, 9.804118609)]
    public void Normal_gravity_is_that_of_the_ellipsoid(double latitudeDeg, double expectedMps2) =>
        Assert.Equal(expectedMps2, Gravity.Wgs84NormalMps2(latitudeDeg * Angles.RadPerDeg), 1e-8);

    [Theory]
    [InlineData(2)]
    [InlineData(double.NaN)]
    public void A_latitude_beyond_the_pole_is_refused(double latitudeRad) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Gravity.Wgs84NormalMps2(latitudeRad));
}
