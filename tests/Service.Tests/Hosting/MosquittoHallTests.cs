using Microsoft.Extensions.DependencyInjection;
using Saltograph.Service.Hosting;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Faults;

namespace Saltograph.Service.Tests.Hosting;

public sealed class MosquittoHallTests
{
    [Fact]
    public async Task A_packet_through_the_broker_becomes_an_event_through_the_broker()
    {
        await using var broker = await Mosquitto.StartAsync();
        await using var host = await TestHall.StartAsync(TestHall.Options(broker.Port));
        await using var client = await Subscriber.ConnectAsync(broker.Port, "coach", filters: TestHall.Jumps("+"));
        await ReadyAsync(host);
        await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(5));
        Assert.Equal(ScriptedMeasuring.EventId("amber", 5), EmbeddedHallTests.IdOf(await client.NextAsync()));
    }

    [Fact]
    [Fault("a broker elsewhere is killed and started again", "events wait in the store and are sent in order; packets are measured again", back: "0.25 to 15 s after the broker")]
    public async Task Events_of_an_outage_wait_and_are_sent_when_the_broker_is_back()
    {
        await using var broker = await Mosquitto.StartAsync();
        await using var host = await TestHall.StartAsync(TestHall.Options(broker.Port));
        await ReadyAsync(host);
        await broker.StopAsync();
        var messages = host.Services.GetRequiredService<IMessageOut>();
        for (var number = 1; number <= 100; number++)
        {
            await messages.SendAsync(Event(number), TestContext.Current.CancellationToken);
        }

        await broker.StartProcessAsync();

        // The session of a subscriber died with the broker; retained messages tell what was sent before it was back.
        await using var client = await Subscriber.ConnectAsync(broker.Port, "coach", filters: "saltograph/v1/test-hall/+/+/load");
        var ids = new HashSet<string>(StringComparer.Ordinal);
        while (ids.Count < 100)
        {
            ids.Add((await client.NextAsync()).Topic);
        }

        // And packets are measured again.
        await ReadyAsync(host);
        await using var second = await Subscriber.ConnectAsync(broker.Port, "second", filters: TestHall.Jumps("+"));
        await second.PublishAsync(TestHall.Samples("b-trunk"), ScriptedMeasuring.Jump(3));
        Assert.Equal(ScriptedMeasuring.EventId("beryl", 3), EmbeddedHallTests.IdOf(await second.NextAsync()));
    }

    [Fact]
    [Fault("the service is away, the broker elsewhere is not", "the broker keeps the packets; they are measured afterwards, more than the receive maximum too", back: "with the next start")]
    public async Task Packets_that_came_while_the_service_was_away_are_measured_when_it_is_back()
    {
        await using var broker = await Mosquitto.StartAsync();
        await using (var first = await TestHall.StartAsync(TestHall.Options(broker.Port)))
        {
            await ReadyAsync(first);
            await first.StopAsync();
        }

        await using var client = await Subscriber.ConnectAsync(broker.Port, "coach", filters: TestHall.Jumps("+"));
        for (var number = 1; number <= 600; number++) // more than the receive maximum
        {
            await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(number));
        }

        await using var second = await TestHall.StartAsync(TestHall.Options(broker.Port));
        for (var number = 1; number <= 600; number++)
        {
            Assert.Equal(ScriptedMeasuring.EventId("amber", number), EmbeddedHallTests.IdOf(await client.NextAsync()));
        }
    }

    [Fact]
    public async Task A_stop_publishes_what_was_taken()
    {
        await using var broker = await Mosquitto.StartAsync();
        await using var client = await Subscriber.ConnectAsync(broker.Port, "coach", filters: TestHall.Jumps("+"));
        await using (var host = await TestHall.StartAsync(TestHall.Options(broker.Port)))
        {
            await ReadyAsync(host);
            await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
            await client.NextAsync();
            await host.StopAsync();
        }

        Assert.Equal(ScriptedMeasuring.EventId("amber", 999), EmbeddedHallTests.IdOf(await client.NextAsync()));
    }

    internal static async Task ReadyAsync(HallHost host)
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        limit.CancelAfter(TimeSpan.FromSeconds(30));
        await host.Services.GetRequiredService<ExternalBroker>().WhenReady.WaitAsync(limit.Token);
    }

    private static OutgoingMessage Event(int number) =>
        new($"saltograph/v1/test-hall/athletes/athlete-{number}/load", [1], "application/json", 1, Retain: true);
}
