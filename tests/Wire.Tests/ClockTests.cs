using FsCheck.Xunit;
using Saltograph.Wire.Clock;

namespace Saltograph.Wire.Tests;

public class ClockTests
{
    [Fact]
    public void Offset_and_delay_follow_RFC_5905_section_8()
    {
        // Worked by hand: 100.000, 105.030, 105.031, 100.071 s -> offset 4.995 s, delay 0.070 s.
        var seconds = new ClockExchange(100_000_000, 105_030_000, 105_031_000, 100_071_000);
        Assert.Equal(4_995_000, seconds.OffsetMicroseconds);
        Assert.Equal(70_000, seconds.DelayMicroseconds);

        // 1000, 6012, 6013, 1025 -> 5000, 24.
        var counts = new ClockExchange(1000, 6012, 6013, 1025);
        Assert.Equal(5000, counts.OffsetMicroseconds);
        Assert.Equal(24, counts.DelayMicroseconds);
    }

    [Fact]
    public void Delay_is_not_below_zero_when_the_clocks_run_at_different_speed()
    {
        // RFC 5905 section 8: 100 ppm over 64 s make 6.4 ms too little. The hall held the answer for 64 s on its clock,
        // 64 s - 6.4 ms on the slower clock of the device; the way itself took no time.
        var exchange = new ClockExchange(0, 1_000_000, 65_000_000, 64_000_000 - 6_400);
        Assert.Equal(0, exchange.DelayMicroseconds);
    }

    [Property]
    public void Offset_is_wrong_by_at_most_half_the_delay(int offset, ushort wayThere, ushort held, ushort wayBack)
    {
        var there = 5_000_000_000L;
        var exchange = new ClockExchange(there, there + offset + wayThere, there + offset + wayThere + held, there + wayThere + held + wayBack);
        Assert.Equal(wayThere + wayBack, exchange.DelayMicroseconds);
        Assert.InRange(Math.Abs(exchange.OffsetMicroseconds - offset), 0, (exchange.DelayMicroseconds / 2.0) + 0.5);
    }

    [Property]
    public void Messages_read_back_as_written(uint t1, uint t2, uint t3, uint t4)
    {
        var hall = 1_790_000_000_000_000L;
        Assert.True(ClockMessages.TryReadRequest(ClockMessages.WriteRequest(t1), out var sent));
        Assert.Equal(t1, sent);
        Assert.True(ClockMessages.TryReadAnswer(ClockMessages.WriteAnswer(t1, hall + t2, hall + t3), t4, out var exchange));
        Assert.Equal(new ClockExchange(t1, hall + t2, hall + t3, t4), exchange);
        Assert.False(ClockMessages.TryReadAnswer(ClockMessages.WriteRequest(t1), t4, out _));
    }

    [Theory]
    [InlineData("")]
    [InlineData("80")]
    [InlineData("a0")]
    [InlineData("a10101")] // no T1
    [InlineData("a10205")] // no version
    [InlineData("a201020205")] // version 2
    [InlineData("a201010224")] // T1 negative
    [InlineData("a2010102fb3ff0000000000000")] // T1 a float
    [InlineData("a20101020500")] // a byte after the map
    [InlineData("a201010205ff")]
    [InlineData("a301010205 1864fc")] // reserved initial byte under an unknown key
    public void Broken_requests_are_refused(string hex) =>
        Assert.False(ClockMessages.TryReadRequest(Convert.FromHexString(hex.Replace(" ", "", StringComparison.Ordinal)), out _));

    [Fact]
    public void A_mutated_message_never_throws()
    {
        var random = new Random(7);
        var original = ClockMessages.WriteAnswer(1, 1_790_000_000_000_000, 1_790_000_000_000_001);
        for (var i = 0; i < 20_000; i++)
        {
            var mutated = original.ToArray();
            mutated[random.Next(mutated.Length)] = (byte)random.Next(256);
            mutated[random.Next(mutated.Length)] ^= (byte)(1 << random.Next(8));
            ClockMessages.TryReadAnswer(mutated.AsMemory(0, random.Next(mutated.Length + 1)), 5, out _);
        }
    }
}
