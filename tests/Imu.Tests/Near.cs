namespace Saltograph.Imu.Tests;

/// <summary>Comparison with a tolerance that the test states.</summary>
internal static class Near
{
    public static void Equal(double expected, double actual, double tolerance) =>
        Assert.True(Math.Abs(expected - actual) <= tolerance, $"expected {expected:R}, found {actual:R}, tolerance {tolerance:R}");

    public static void Equal(Vector3D expected, Vector3D actual, double tolerance) =>
        Assert.True((expected - actual).Length <= tolerance, $"expected {expected}, found {actual}, tolerance {tolerance:R}");

    public static void Same(Rotation expected, Rotation actual, double toleranceRad)
    {
        var apart = expected.AngleToRad(actual);
        Assert.True(apart <= toleranceRad, $"expected {expected}, found {actual}, {apart:R} rad apart, tolerance {toleranceRad:R}");
    }
}
