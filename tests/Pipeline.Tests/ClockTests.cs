using System.Globalization;
using FsCheck.Xunit;
using Saltograph.Pipeline.Clock;
using Saltograph.Wire.Packets;

namespace Saltograph.Pipeline.Tests;

public class ClockTests
{
    // Worked example: true skew +50 ppm, true offset 1000 s, delays 12, 3, 40, 5, 3, 90, 8 ms every 10 s. The method is
    // Zhang, Liu, Xia 2002; the numbers were computed independently.
    private static readonly double[] DeviceS = [0, 10, 20, 30, 40, 50, 60];
    private static readonly double[] DelayMs = [12, 3, 40, 5, 3, 90, 8];

    [Fact]
    public void The_hull_edge_over_the_mean_gives_the_skew_exactly()
    {
        var hull = new LowerHull(16);
        for (var i = 0; i < DeviceS.Length; i++)
        {
            hull.Add(DeviceS[i], 1000 + (50e-6 * DeviceS[i]) + (DelayMs[i] * 1e-3));
        }

        var line = hull.EdgeOver(DeviceS.Average())!.Value;

        Assert.Equal(4, hull.Count); // (0, 12.0), (10, 3.5), (40, 5.0), (60, 11.0) ms
        Assert.Equal(50e-6, line.Slope, 1e-9);
        Assert.Equal(1000.003, line.Intercept, 1e-9);
    }

    [Fact]
    public void The_estimate_from_arrivals_gives_the_same_for_the_worked_example()
    {
        var offset = new OneWayOffset();
        for (var i = 0; i < DeviceS.Length; i++)
        {
            offset.Add(DeviceS[i] * 1e6, 1e9 + (50e-6 * DeviceS[i] * 1e6) + (DelayMs[i] * 1e3));
        }

        Assert.Equal(50e-6, offset.Line().Slope, 1e-9);
        Assert.Equal(1000.003e6, offset.Line().Intercept, 1e-9 * 1e6);
    }

    [Property(MaxTest = 200)]
    public void No_point_lies_below_the_line_of_the_hull(int seed)
    {
        var random = new Random(seed);
        var points = Enumerable.Range(0, random.Next(2, 200)).Select(i => (X: i + random.NextDouble() * 0.9, Y: random.NextDouble() * 50)).ToArray();
        var hull = new LowerHull(256);
        foreach (var (x, y) in points)
        {
            hull.Add(x, y);
        }

        var mean = points.Average(point => point.X);
        foreach (var line in new[] { hull.EdgeOver(mean)!.Value, hull.Support(random.NextDouble() - 0.5) })
        {
            Assert.All(points, point => Assert.True(point.Y - (line.Intercept + (line.Slope * point.X)) > -1e-9));
            Assert.Contains(points, point => Math.Abs(point.Y - (line.Intercept + (line.Slope * point.X))) < 1e-9);
        }
    }

    [Theory]
    // mean of the exponential delay, cut at 30 ms; skew; hours; most that median, p95 and worst error may be, ms.
    [InlineData(10, 15, 0, 2, 0.05, 0.2, 1.0)]
    [InlineData(10, 15, 5, 24, 0.2, 0.6, 1.5)]
    public void Times_from_arrivals_alone_are_good_to_a_millisecond(
        double meanDelayMs, double skewPpm, double warmingPpm, double hours, double medianMs, double p95Ms, double worstMs)
    {
        var random = new Random(42);
        var clock = new DeviceClock(new());
        var errorsMs = new List<double>();
        var stepUs = hours > 3 ? 400_000.0 : 57_692.0;
        double device = 3e6;
        var hall = 1_795_543_200_000_000.0;
        double? synchronisedAfterS = null;
        var lastHall = long.MinValue;
        for (var sent = 0.0; sent < hours * 3600e6; sent += stepUs)
        {
            // The crystal warms and cools with a period of an hour.
            device += stepUs * (1 + ((skewPpm + (warmingPpm * Math.Sin(sent / 3600e6 * 2 * Math.PI))) * 1e-6));
            var delayUs = Math.Min(30_000, -meanDelayMs * 1e3 * Math.Log(1 - random.NextDouble()));
            var last = (long)Math.Round(device);
            var change = clock.Observe(default, last, (long)Math.Round(hall + sent + delayUs));
            Assert.Equal(ClockChange.None, change);
            var mapped = clock.HallUs(last, 0, 1);
            Assert.True(mapped > lastHall);
            lastHall = mapped;
            if (clock.IsSynchronised)
            {
                synchronisedAfterS ??= sent * 1e-6;
                errorsMs.Add(Math.Abs(mapped - hall - sent) * 1e-3);
            }
        }

        errorsMs.Sort();
        var (median, p95, worst) = (errorsMs[errorsMs.Count / 2], errorsMs[errorsMs.Count * 95 / 100], errorsMs[^1]);
        TestContext.Current.TestOutputHelper!.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{hours} h, {skewPpm}+-{warmingPpm} ppm: synchronised after {synchronisedAfterS:F1} s, error median {median:F3} ms, p95 {p95:F3} ms, worst {worst:F3} ms"));
        Assert.InRange(synchronisedAfterS!.Value, 5, 30);
        Assert.InRange(median, 0, medianMs);
        Assert.InRange(p95, 0, p95Ms);
        Assert.InRange(worst, 0, worstMs);
    }

    [Fact]
    public void A_stated_offset_with_jitter_does_not_tear_the_times()
    {
        // The firmware states whole milliseconds and errs by up to 1 ms each time; arrivals are late by anything.
        var random = new Random(3);
        var clock = new DeviceClock(new());
        var worstUs = 0.0;
        long? previous = null;
        for (var k = 0; k < 20_000; k++)
        {
            var hall = 1_795_543_200_000_000L + (k * 57_692L);
            var device = 9_000_000L + (long)Math.Round(k * 57_692 * (1 + 15e-6));
            var stated = (long)Math.Round((hall - device + random.Next(-1000, 1001)) * 1e-3) * 1000;
            clock.Observe(new PacketHeader { HallMinusDeviceMicroseconds = stated }, device, hall + random.Next(0, 2_000_000));
            var mapped = clock.HallUs(device, 0, 1);
            if (previous is { } before && k > 2000)
            {
                Assert.InRange(mapped - before, 57_692 - 60, 57_692 + 60); // 0.1 per cent of a packet
                worstUs = Math.Max(worstUs, Math.Abs(mapped - hall));
            }

            previous = mapped;
        }

        Assert.True(clock.IsSynchronised);
        Assert.InRange(worstUs, 0, 250);
    }

    [Fact]
    public void The_stated_offset_is_preferred_to_arrivals()
    {
        var clock = new DeviceClock(new());
        for (var k = 0; k < 2000; k++)
        {
            var hall = 1_795_543_200_000_000L + (k * 57_692L);
            clock.Observe(new PacketHeader { HallMinusDeviceMicroseconds = 1_795_543_200_000_000L - 9_000_000 }, 9_000_000 + (k * 57_692L), hall + 80_000);
            Assert.Equal(hall, clock.HallUs(9_000_000 + (k * 57_692L), 0, 1));
        }
    }

    [Fact]
    public void A_backlog_at_the_start_is_worked_off_in_one_step_when_it_is_over()
    {
        // Sixty seconds of packets come within 1.2 s, then one by one.
        var clock = new DeviceClock(new());
        var changes = new List<(int Packet, ClockChange Change)>();
        const int Backlog = 1040;
        for (var k = 0; k < Backlog + 600; k++)
        {
            var sent = k * 57_692L;
            var received = k < Backlog ? (Backlog * 57_692L) - ((Backlog - k) * 1154L) : sent + 2000;
            if (clock.Observe(default, 9_000_000 + sent, 1_795_543_200_000_000L + received) is var change and not ClockChange.None)
            {
                changes.Add((k, change));
            }
        }

        var (packet, step) = Assert.Single(changes);
        Assert.Equal(ClockChange.SteppedBack, step);
        Assert.InRange(packet, Backlog, Backlog + 30); // within two seconds of live data
        var end = (Backlog + 599) * 57_692L;
        Assert.Equal(1_795_543_200_000_000.0 + end + 2000, clock.HallUs(9_000_000 + end, 0, 1), 5.0);
        Assert.True(clock.IsSynchronised);
    }

    [Fact]
    public void Statements_that_are_nonsense_are_not_believed()
    {
        var clock = new DeviceClock(new());
        for (var k = 0; k < 1000; k++)
        {
            var hall = 1_795_543_200_000_000L + (k * 57_692L);
            clock.Observe(new PacketHeader { HallMinusDeviceMicroseconds = 0 }, 9_000_000 + (k * 57_692L), hall);
        }

        Assert.Equal(1_795_543_200_000_000L + (999 * 57_692L), clock.HallUs(9_000_000 + (999 * 57_692L), 0, 1));
    }
}
