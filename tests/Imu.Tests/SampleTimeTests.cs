using System.Globalization;
using FsCheck.Xunit;

namespace Saltograph.Imu.Tests;

/// <summary>Whole microseconds: exact differences, exact order, known rounding.</summary>
[Properties(Arbitrary = [typeof(Generators)])]
public sealed class SampleTimeTests
{
    [Property]
    public void Seconds_are_exact_to_a_microsecond_for_140_years(SampleTime time)
    {
        // The decimal text of a double is exact in .NET, so this compares without the rounding under test.
        var seconds = decimal.Parse(time.Seconds.ToString("F12", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        Assert.True(Math.Abs(seconds - (time.Microseconds / 1_000_000m)) < 0.000001m);
    }

    [Property]
    public void Seconds_come_back_within_a_microsecond(SampleTime time) =>
        Assert.InRange(SampleTime.FromSeconds(time.Seconds).Microseconds - time.Microseconds, -1, 1);

    [Property]
    public void Seconds_of_a_session_come_back_exactly(int microseconds, byte hour)
    {
        // A day is 8.64e10 us: far inside the 2^52 us (142 years) where a double still resolves half a microsecond.
        var time = new SampleTime((hour % 24 * 3_600_000_000L) + microseconds);
        Assert.Equal(time, SampleTime.FromSeconds(time.Seconds));
    }

    [Property]
    public void A_difference_changes_its_sign_with_the_order(SampleTime a, SampleTime b)
    {
        Assert.Equal(a - b, -(b - a));
        Assert.Equal(a > b, a - b > 0);
    }

    [Property]
    public void Adding_seconds_and_taking_the_difference_agree(SampleTime start, int microseconds)
    {
        var later = start.PlusSeconds(microseconds * 1e-6);
        Assert.Equal(start.Microseconds + microseconds, later.Microseconds);
        Near.Equal(microseconds * 1e-6, later - start, 1e-12);
    }

    [Theory]
    [InlineData(0.4e-6, 0)]
    [InlineData(0.6e-6, 1)]
    [InlineData(-0.6e-6, -1)]
    [InlineData(1.25, 1_250_000)]
    public void Seconds_go_to_the_nearest_microsecond(double seconds, long microseconds)
    {
        Assert.Equal(microseconds, SampleTime.FromSeconds(seconds).Microseconds);
        Assert.Equal(7 + microseconds, new SampleTime(7).PlusSeconds(seconds).Microseconds);
    }

    [Property]
    public void The_order_is_that_of_the_microseconds(SampleTime a, SampleTime b)
    {
        Assert.Equal(a.Microseconds < b.Microseconds, a < b);
        Assert.Equal(a.Microseconds > b.Microseconds, a > b);
        Assert.Equal(a.Microseconds <= b.Microseconds, a <= b);
        Assert.Equal(a.Microseconds >= b.Microseconds, a >= b);
        Assert.Equal(Math.Sign(a.Microseconds.CompareTo(b.Microseconds)), Math.Sign(a.CompareTo(b)));
        var same = new SampleTime(a.Microseconds);
        Assert.True(a <= same && a >= same && !(a < same) && !(a > same));
    }

    [Fact]
    public void The_default_is_the_zero_of_the_clock() => Assert.Equal(0, default(SampleTime).Seconds);
}
