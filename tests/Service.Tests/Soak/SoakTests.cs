using Saltograph.Service.Tests.Faults;

namespace Saltograph.Service.Tests.Soak;

/// <summary>A whole training with a fault in each minute, faster than real time: simulator, Mosquitto, the real service, a subscriber.</summary>
public sealed class SoakTests
{
    private static readonly bool IsLong = Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1";

    [Fact]
    [Fault("a fault in each minute of a training: broker restarted, subscriber cut, flood of garbage, disk full, old packets again, database locked", "what is published is what must be; memory and handles stay", back: "within the same minute")]
    public async Task What_is_published_is_what_must_be_through_a_fault_in_each_minute_and_nothing_grows()
    {
        var (minutes, athletes) = IsLong ? (60, 50) : (6, 2);
        await using var soak = await SoakHall.StartAsync(minutes, athletes, withEarlierWeeks: IsLong);
        for (var minute = 0; minute < minutes; minute++)
        {
            await soak.PlayMinuteAsync(minute);
        }

        await soak.FinishAsync();
        AssertPublished(soak);

        // The short form finds all 107; a restart costs the jumps of its two seconds, and a running step may be counted.
        Assert.InRange(soak.Expected.Count, soak.TrueJumps * 0.97, soak.TrueJumpsToTheEnd * 1.02);
        Assert.InRange(soak.Vitals.HandleCounts.Last, 0, soak.Vitals.HandleCounts.First + 20);
        if (IsLong)
        {
            Assert.InRange(soak.Vitals.HeapSlopeMiBPerMinute, double.NegativeInfinity, 0.1);
            Assert.InRange(soak.Vitals.HandleSlopePerMinute, -0.5, 0.5);
        }
    }

    [Fact]
    [Fault("another program locks the database", "what was measured waits and is stored and told afterwards", back: "0.1 to 5 s after the lock")]
    public Task A_locked_database_costs_nothing() => OneAsync(SoakHall.DatabaseLock);

    [Fact]
    [Fault("10,000 messages as fast as they go, garbage and of strangers, between packets", "they are refused and counted; the packets are measured")]
    public Task A_flood_costs_nothing() => OneAsync(SoakHall.Flood);

    [Fact]
    [Fault("the host's clock is set 5 s ahead", "the sensors' statements are refused as too far off and arrivals tell the time; measured on", "at most one jump of each who was in the air", back: "with the next packets")]
    public Task A_host_clock_that_is_set_ahead_costs_at_most_one_jump_each() => ClockAsync(SoakHall.ClockAhead);

    [Fact]
    [Fault("the host's clock is set 5 s back", "the sensors' statements are refused as too far off and arrivals tell the time; measured on", "at most one jump of each who was in the air", back: "with the next packets")]
    public Task A_host_clock_that_is_set_back_costs_at_most_one_jump_each() => ClockAsync(SoakHall.ClockBack);

    [Fact]
    [Fault("sensors start anew, each about twice in a minute", "the rest is measured", "jumps while a sensor starts; they are not acknowledged either", back: "with a sensor's second packet")]
    public async Task Sensors_that_start_anew_cost_only_what_they_missed()
    {
        await using var soak = await SoakHall.StartAsync(1, 2, rebootProbability: 120 * SoakHall.OncePerHour);
        await soak.PlayMinuteAsync(0, SoakHall.None);
        await soak.FinishAsync();
        AssertPublished(soak);
        Assert.InRange(soak.Expected.Count, soak.TrueJumps * 0.3, soak.TrueJumps);
    }

    private static async Task ClockAsync(int fault)
    {
        await using var soak = await SoakHall.StartAsync(2, 2);
        await soak.PlayMinuteAsync(0, fault);
        await soak.PlayMinuteAsync(1, SoakHall.None);
        await soak.FinishAsync();
        AssertPublished(soak);
        Assert.InRange(soak.Expected.Count, soak.TrueJumps - 2, soak.TrueJumps + 1);
    }

    private static async Task OneAsync(int fault)
    {
        await using var soak = await SoakHall.StartAsync(1, 2);
        await soak.PlayMinuteAsync(0, fault);
        await soak.FinishAsync();
        AssertPublished(soak);
        Assert.InRange(soak.Expected.Count, soak.TrueJumps * 0.8, soak.TrueJumps * 1.1); // a minute has few jumps
    }

    private static void AssertPublished(SoakHall soak)
    {
        TestContext.Current.TestOutputHelper?.WriteLine(soak.ToString());
        Assert.NotEmpty(soak.Expected);
        Assert.Equal(soak.Expected.Count, soak.Received.Count);
        Assert.All(soak.Expected, jump => Assert.True(soak.Received.TryGetValue(jump.Key, out var contents) && contents == jump.Value, "a jump that was never published, or otherwise"));
    }
}
