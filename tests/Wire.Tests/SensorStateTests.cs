using System.Text;
using System.Text.Json;
using Saltograph.Imu;

namespace Saltograph.Wire.Tests;

public class SensorStateTests
{
    [Fact]
    public void State_reads_back_as_written()
    {
        var state = new SensorState { Online = true, Boot = new BootId(uint.MaxValue), Firmware = "1.4.2", BatteryPercent = 87 };
        Assert.Equal("""{"online":true,"boot":4294967295,"firmware":"1.4.2","batteryPercent":87}""", Text(state));
        Assert.Null(SensorState.TryRead(Encoding.UTF8.GetBytes(Text(state)), out var back));
        Assert.Equal(state, back);
    }

    [Fact]
    public void What_is_not_known_is_null()
    {
        var state = new SensorState { Online = false };
        Assert.Equal("""{"online":false,"boot":null,"firmware":null,"batteryPercent":null}""", Text(state));
        Assert.Null(SensorState.TryRead(Encoding.UTF8.GetBytes(Text(state)), out var back));
        Assert.Equal(state, back);
    }

    [Fact]
    public void A_will_needs_only_online_and_unknown_keys_are_ignored()
    {
        Assert.Null(SensorState.TryRead("""{"online":false,"colour":"red"}"""u8.ToArray(), out var state));
        Assert.Equal(new SensorState { Online = false }, state);
    }

    [Theory]
    [InlineData("", "state")]
    [InlineData("[]", "state")]
    [InlineData("{}", "online")]
    [InlineData("""{"online":1}""", "online")]
    [InlineData("""{"online":true,"boot":-1}""", "boot")]
    [InlineData("""{"online":true,"boot":1.5}""", "boot")]
    [InlineData("""{"online":true,"boot":"7"}""", "boot")]
    [InlineData("""{"online":true,"firmware":7}""", "firmware")]
    [InlineData("""{"online":true,"firmware":"\ud800"}""", "state")]
    [InlineData("""{"online":true,"batteryPercent":101}""", "batteryPercent")]
    [InlineData("""{"online":true,"batteryPercent":true}""", "batteryPercent")]
    public void A_broken_state_is_refused_with_key_found_and_allowed(string json, string key)
    {
        var refusal = SensorState.TryRead(Encoding.UTF8.GetBytes(json), out var state);
        Assert.NotNull(refusal);
        Assert.StartsWith(key, refusal, StringComparison.Ordinal);
        Assert.Contains("allowed", refusal, StringComparison.Ordinal);
        Assert.Null(state);
    }

    private static string Text(SensorState state)
    {
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream))
        {
            state.Write(json);
        }

        return Encoding.UTF8.GetString(stream.ToArray());
    }
}
