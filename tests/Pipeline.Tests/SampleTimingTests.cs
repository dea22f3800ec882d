using FsCheck.Xunit;
using Saltograph.Pipeline.Streams;

namespace Saltograph.Pipeline.Tests;

public class SampleTimingTests
{
    [Fact]
    public void Exact_stamps_are_kept_exactly()
    {
        var timing = new SampleTiming();
        for (var p = 0; p < 1000; p++)
        {
            Assert.True(timing.Place(1_000_000 + (p * 24 * 2500L), 24, 2500, isNext: true));
            Assert.Equal(1_000_000 + (p * 24 * 2500.0), timing.ZeroUs + timing.First);
            Assert.Equal(2500, timing.Step);
        }
    }

    [Fact]
    public void Coarse_stamps_and_a_wrong_interval_are_smoothed_out()
    {
        // Stamps in whole milliseconds; the interval is stated 2 per cent too long (the true rate is 424.5 Hz, not 416).
        var timing = new SampleTiming();
        var trueIntervalUs = 2403.846 / 1.02;
        var worst = 0.0;
        var last = double.NegativeInfinity;
        for (var p = 0; p < 3000; p++)
        {
            var first = p * 24 * trueIntervalUs;
            Assert.True(timing.Place((long)Math.Floor(first / 1000) * 1000, 24, 2403.846, isNext: true));
            var placed = timing.ZeroUs + timing.First;
            Assert.True(placed > last);
            last = placed + (23 * timing.Step);
            if (p > 200)
            {
                worst = Math.Max(worst, Math.Abs(placed + 500 - first)); // rounding down is 0.5 ms on average
                Assert.InRange(timing.Step, trueIntervalUs * 0.99, trueIntervalUs * 1.01);
            }
        }

        Assert.InRange(worst, 0, 350);
        Assert.Equal(1 / 1.02, timing.Ratio, 1e-3);
    }

    [Theory]
    [InlineData(24 * 2500L, true)]
    [InlineData((24 * 2500L) + 1000, true)] // a coarse clock
    [InlineData((24 * 2500L) + 7500, false)] // three samples are missing
    [InlineData((24 * 2500L) - 7500, false)]
    public void A_packet_that_does_not_follow_is_noticed(long secondStampUs, bool follows)
    {
        var timing = new SampleTiming();
        timing.Place(0, 24, 2500, isNext: true);
        Assert.Equal(follows, timing.Place(secondStampUs, 24, 2500, isNext: true));
    }

    [Property(MaxTest = 300)]
    public void Samples_of_packets_in_a_row_stay_apart_whatever_the_stamps_say(int seed)
    {
        var random = new Random(seed);
        var timing = new SampleTiming();
        var stamp = 0L;
        var end = double.NaN;
        for (var p = 0; p < 200; p++)
        {
            var count = random.Next(1, 60);
            if (timing.Place(stamp + random.Next(-1500, 1501), count, 2500, isNext: true) && p > 0)
            {
                Assert.InRange(timing.First - end, 0.7 * 2500, 1.3 * 2500);
                Assert.InRange(timing.Step, 0.7 * 2500, 1.3 * 2500);
            }

            end = timing.First + ((count - 1) * timing.Step);
            stamp += count * 2500L;
        }
    }
}
