using System.Buffers;
using Microsoft.Extensions.DependencyInjection;
using Saltograph.Service.Tests.Faults;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Store.Recordings;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Tests.Durability;

public sealed class DurabilityTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    [Fault("the disk is full", "nothing more is acknowledged, health says degraded; tried again until it works", back: "0.1 to 5 s after there is room")]
    public async Task A_full_disk_stops_acknowledging_and_says_so_and_nothing_is_lost()
    {
        using var disk = new FullDisk();
        await using var host = await TestHall.StartAsync(adjust: services => services.AddSingleton<IRecordingDisk>(disk));
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        await using var sensor = await Subscriber.ConnectAsync(host.MqttPort, "sensor");
        await sensor.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
        await client.NextAsync();

        disk.IsFull = true;
        var waiting = sensor.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(2));
        using var http = new HttpClient { BaseAddress = new($"http://127.0.0.1:{host.HttpPort}") };
        while (await http.GetStringAsync(new Uri("/health/ready", UriKind.Relative), Stop) != "Degraded")
        {
            await Task.Yield();
        }

        await disk.RefusedAsync(3);
        Assert.False(waiting.IsCompleted);
        disk.IsFull = false;
        Assert.True((await waiting).IsSuccess);
        Assert.Equal(ScriptedMeasuring.EventId("amber", 2), EmbeddedHallTests.IdOf(await client.NextAsync()));
        while (await http.GetStringAsync(new Uri("/health/ready", UriKind.Relative), Stop) != "Healthy")
        {
            await Task.Yield();
        }
    }

    [Fact]
    public async Task Totals_of_the_day_and_the_jumps_outlive_a_restart()
    {
        await using (var first = await TestHall.StartAsync(data: _folder.Root))
        {
            await using var sensor = await Subscriber.ConnectAsync(first.MqttPort, "sensor");
            await sensor.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
            await first.StopAsync(); // ends the session, which makes jump 999 known
        }

        await using var second = await TestHall.StartAsync(data: _folder.Root);
        await using var client = await Subscriber.ConnectAsync(second.MqttPort, "coach", filters: $"saltograph/v1/{TestHall.Hall}/athletes/amber/load");
        Assert.Equal(2, Jumps(await client.NextAsync())); // retained: what the process before told last
        await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(2));
        Assert.Equal(3, Jumps(await client.NextAsync()));
        using var http = new HttpClient { BaseAddress = new($"http://127.0.0.1:{second.HttpPort}") };
        var page = System.Text.Json.JsonDocument.Parse(await http.GetStringAsync(new Uri("/api/v1/jumps?order=newest-first", UriKind.Relative), Stop)).RootElement;
        Assert.Equal([999, 2, 1], page.GetProperty("jumps").EnumerateArray().Select(jump => jump.GetProperty("number").GetInt32()));
    }

    [Fact]
    public async Task The_same_jump_again_is_published_once()
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        foreach (var number in new[] { 1, 1, 2 })
        {
            await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(number));
        }

        Assert.Equal(ScriptedMeasuring.EventId("amber", 1), EmbeddedHallTests.IdOf(await client.NextAsync()));
        Assert.Equal(ScriptedMeasuring.EventId("amber", 2), EmbeddedHallTests.IdOf(await client.NextAsync()));
    }

    [Fact]
    public async Task After_a_restart_events_come_again_to_who_keeps_a_session_and_to_nobody_else()
    {
        await using (var first = await TestHall.StartAsync(data: _folder.Root))
        {
            await using var sensor = await Subscriber.ConnectAsync(first.MqttPort, "sensor");
            await sensor.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
            await first.StopAsync();
        }

        await using var second = await TestHall.StartAsync(data: _folder.Root);
        await using var keeps = await Subscriber.ConnectAsync(second.MqttPort, "keeps", keepSession: true, TestHall.Jumps("+"));
        Assert.Equal(ScriptedMeasuring.EventId("amber", 1), EmbeddedHallTests.IdOf(await keeps.NextAsync()));
        Assert.Equal(ScriptedMeasuring.EventId("amber", 999), EmbeddedHallTests.IdOf(await keeps.NextAsync()));
        await using var forgets = await Subscriber.ConnectAsync(second.MqttPort, "forgets", filters: TestHall.Jumps("+"));
        await forgets.PublishAsync(TestHall.Samples("b-trunk"), ScriptedMeasuring.Jump(5));
        Assert.Equal(ScriptedMeasuring.EventId("beryl", 5), EmbeddedHallTests.IdOf(await forgets.NextAsync()));
    }

    public void Dispose() => _folder.Dispose();

    private static int Jumps(MQTTnet.MqttApplicationMessage message)
    {
        Assert.True(CloudEventReader.TryRead(message.Payload.ToArray(), out var found).IsAccepted);
        return found!.Data!.Value.GetProperty("jumps").GetInt32();
    }
}
