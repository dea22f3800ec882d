using System.Globalization;
using Saltograph.Testing;

namespace Saltograph.Imu.Tests;

/// <summary>The worked numbers of firmware-notes/sensors.md, computed again.</summary>
public sealed class SensorNotesTests
{
    private static readonly string Notes = File.ReadAllText(Path.Combine(Repository.Root, "firmware-notes", "sensors.md"));

    [Theory]
    [InlineData(16)]
    [InlineData(32)]
    public void One_count_of_the_accelerometer_is_as_written(int rangeG)
    {
        var (milligravity, metres) = (1000.0 * rangeG / 32768, rangeG * Gravity.StandardMps2 / 32768);
        Contains($"| {rangeG} g | {rangeG} / 32768 g = {milligravity:F3} mg | {metres:F10} m/s2 |");
    }

    [Fact]
    public void One_count_of_the_gyroscope_is_as_written()
    {
        Contains($"| 2000 / 32768 deg/s = {2000.0 / 32768:F4} deg/s | {2000 * Angles.RadPerDeg / 32768:F10} rad/s |");
        Contains($"| 0.070 deg/s | {0.070 * Angles.RadPerDeg:F10} rad/s | the rail is then at {0.070 * 32768:F2} deg/s |");
        Contains($"16384 counts = 1000 deg/s = {1000 * Angles.RadPerDeg:F8} rad/s");
    }

    // The peak of half a sine of 20 ms, half an interval away from the nearest sample; an event evenly spread over an interval.
    [Theory]
    [InlineData(100)]
    [InlineData(208)]
    [InlineData(416)]
    [InlineData(833)]
    [InlineData(1000)]
    public void What_a_rate_misses_is_as_written(int rateHz)
    {
        var interval = Math.Round(1e9 / rateHz).ToString("#,0", CultureInfo.InvariantCulture).Replace(',', ' ');
        var missed = 100 * (1 - Math.Cos(Math.PI / (2 * rateHz * 0.020)));
        var placedMs = 1000 / (rateHz * Math.Sqrt(12));
        Contains($"| {rateHz} Hz | {interval} ns | {missed:F1} % | {placedMs:F1} ms |");
    }

    private static void Contains(FormattableString text) =>
        Assert.Contains(FormattableString.Invariant(text), Notes, StringComparison.Ordinal);
}
