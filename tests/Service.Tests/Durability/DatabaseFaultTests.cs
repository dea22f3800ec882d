using Saltograph.Service.Tests.Faults;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Store;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Durability;

public sealed class DatabaseFaultTests
{
    [Fact]
    [Fault("the database server dies", "packets are recorded and measured on, health says degraded; what was measured is stored and told when the server is back", back: "0.1 to 5 s after the server")]
    public async Task What_is_measured_while_the_database_server_is_dead_is_told_when_it_is_back()
    {
        Assert.SkipWhen(PostgresServer.Missing is not null, PostgresServer.Missing ?? "");
        var stop = TestContext.Current.CancellationToken;
        await using var server = await PostgresServer.StartAsync();
        await using var host = await TestHall.StartAsync(TestHall.Options() with { Store = new() { Kind = StoreOptions.PostgreSql, Host = "127.0.0.1", Port = server.Port } });
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        await using var sensor = await Subscriber.ConnectAsync(host.MqttPort, "sensor");
        await sensor.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
        Assert.Equal(ScriptedMeasuring.EventId("amber", 1), EmbeddedHallTests.IdOf(await client.NextAsync()));

        await server.KillAsync();
        foreach (var number in new[] { 2, 3 })
        {
            await sensor.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(number));
        }

        using var http = new HttpClient { BaseAddress = new($"http://127.0.0.1:{host.HttpPort}") };
        while (await http.GetStringAsync(new Uri("/health/ready", UriKind.Relative), stop) != "Degraded")
        {
            await Task.Yield();
        }

        Assert.False(client.HasMore); // nothing is told that is not stored
        await server.StartAgainAsync();
        Assert.Equal(ScriptedMeasuring.EventId("amber", 2), EmbeddedHallTests.IdOf(await client.NextAsync()));
        Assert.Equal(ScriptedMeasuring.EventId("amber", 3), EmbeddedHallTests.IdOf(await client.NextAsync()));
        while (await http.GetStringAsync(new Uri("/health/ready", UriKind.Relative), stop) != "Healthy")
        {
            await Task.Yield();
        }
    }
}
