using System.Buffers;
using System.Net;
using System.Text.Json;
using Microsoft.Extensions.DependencyInjection;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using Saltograph.Imu;
using Saltograph.Service.Athletes;
using Saltograph.Service.Facts;
using Saltograph.Service.Hosting;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Faults;
using Saltograph.Wire.Clock;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Tests.Hosting;

public sealed class EmbeddedHallTests
{
    [Fact]
    public async Task A_measured_jump_is_published_as_a_cloud_event()
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        var result = await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(7));
        Assert.True(result.IsSuccess);

        var message = await client.NextAsync();
        Assert.Equal(TestHall.Jumps("amber"), message.Topic);
        Assert.Equal(MqttQualityOfServiceLevel.AtLeastOnce, message.QualityOfServiceLevel);
        Assert.StartsWith("application/cloudevents+json", message.ContentType, StringComparison.Ordinal);
        Assert.True(CloudEventReader.TryRead(message.Payload.ToArray(), out var cloudEvent).IsAccepted);
        Assert.Equal($"/saltograph/{TestHall.Hall}", cloudEvent!.Attributes.Source);
        Assert.Equal("org.saltograph.jump.v1", cloudEvent.Attributes.Type);
        Assert.Equal("amber", cloudEvent.Attributes.Subject);
        Assert.Equal(ScriptedMeasuring.EventId("amber", 7), cloudEvent.Attributes.Id);
        var data = cloudEvent.Data!.Value;
        Assert.Equal(7, data.GetProperty("number").GetInt32());
        Assert.Equal("2027-01-15T08:00:00.4Z", data.GetProperty("landing").GetDateTimeOffset().ToString("yyyy-MM-ddTHH:mm:ss.FZ", System.Globalization.CultureInfo.InvariantCulture));
    }

    [Fact]
    public async Task A_client_of_the_older_protocol_version_is_served_too()
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "older", MqttProtocolVersion.V311, keepSession: false, TestHall.Jumps("+"));
        Assert.True((await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(4))).IsSuccess);
        Assert.Equal(ScriptedMeasuring.EventId("amber", 4), IdOf(await client.NextAsync()));
    }

    [Fact]
    public async Task A_packet_of_a_sensor_on_nobody_is_acknowledged_and_goes_nowhere()
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        Assert.True((await client.PublishAsync(TestHall.Samples("stranger"), ScriptedMeasuring.Jump(1))).IsSuccess);
        await client.PublishAsync(TestHall.Samples("b-trunk"), ScriptedMeasuring.Jump(2));
        Assert.Equal(TestHall.Jumps("beryl"), (await client.NextAsync()).Topic);
    }

    [Theory]
    [InlineData("athletes/amber/jumps")]
    [InlineData("sensors/a-trunk/clock/answer")]
    [InlineData("sensors/A-TRUNK/samples")]
    [InlineData("anything")]
    public async Task Nobody_else_may_publish_on_the_topics_of_the_service(string tail)
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "forger");
        var result = await client.PublishAsync($"saltograph/v1/{TestHall.Hall}/{tail}", [1]);
        Assert.Equal(MqttClientPublishReasonCode.NotAuthorized, result.ReasonCode);
    }

    [Fact]
    [Fault("a client sends a message above the limit", "its connection ends before the message is read; the others notice nothing")]
    public async Task An_oversized_message_ends_only_its_own_connection()
    {
        await using var host = await TestHall.StartAsync();
        await using var other = await Subscriber.ConnectAsync(host.MqttPort, "other", filters: TestHall.Jumps("+"));
        await using var flooder = await Subscriber.ConnectAsync(host.MqttPort, "flooder");
        Assert.True((await flooder.PublishAsync(TestHall.Samples("a-trunk"), new byte[60_000])).IsSuccess);
        await Assert.ThrowsAnyAsync<Exception>(() => flooder.PublishAsync(TestHall.Samples("a-trunk"), new byte[70_000]));
        await other.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(3));
        Assert.NotNull(await other.NextAsync());
    }

    // RFC 5905 section 8: the request carries T1, the answer T1, T2 and T3.
    [Fact]
    public async Task A_time_request_is_answered_with_the_same_correlation_data()
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(
            host.MqttPort, "sensor", filters: $"saltograph/v1/{TestHall.Hall}/sensors/a-trunk/clock/answer");
        var before = HallClock.Now(TimeProvider.System).Microseconds;
        await client.PublishAsync($"saltograph/v1/{TestHall.Hall}/sensors/a-trunk/clock", ClockMessages.WriteRequest(123_456), 0, [9, 8, 7]);
        var answer = await client.NextAsync();
        Assert.Equal([9, 8, 7], answer.CorrelationData);
        Assert.True(ClockMessages.TryReadAnswer(answer.Payload.ToArray(), 123_999, out var exchange));
        Assert.Equal(123_456, exchange.DeviceSentMicroseconds);
        Assert.InRange(exchange.HallReceivedMicroseconds, before, exchange.HallSentMicroseconds);
    }

    [Fact]
    [Fault("the measuring of one athlete fails", "it begins anew with her next packet; the others notice nothing", "the jump of hers that was being measured", back: "with her next packet")]
    public async Task A_poisoned_athlete_does_not_stop_the_others_nor_herself()
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        Assert.True((await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Failure)).IsSuccess);
        await client.PublishAsync(TestHall.Samples("b-trunk"), ScriptedMeasuring.Jump(1));
        Assert.Equal(TestHall.Jumps("beryl"), (await client.NextAsync()).Topic);
        await client.PublishAsync(TestHall.Samples("a-left"), ScriptedMeasuring.Jump(2));
        Assert.Equal(TestHall.Jumps("amber"), (await client.NextAsync()).Topic);
    }

    [Fact]
    [Fault("one sink fails, another hangs", "the others get every fact")]
    public async Task A_failing_sink_and_a_hanging_one_do_not_stop_the_rest()
    {
        await using var host = await TestHall.StartAsync(
            TestHall.Options() with { Limits = new() { WaitingEvents = 10, DrainS = 1 } },
            adjust: services =>
            {
                services.AddSingleton<IFactSink>(new FailingSink());
                services.AddSingleton<IFactSink>(new HangingSink());
            });
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        for (var number = 1; number <= 50; number++)
        {
            await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(number));
            Assert.NotNull(await client.NextAsync());
        }
    }

    [Fact]
    public async Task A_stop_finishes_the_session_and_delivers_its_last_event()
    {
        var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
        await host.StopAsync();
        await host.DisposeAsync();
        Assert.Equal(ScriptedMeasuring.EventId("amber", 1), IdOf(await client.NextAsync()));
        Assert.Equal(ScriptedMeasuring.EventId("amber", 999), IdOf(await client.NextAsync())); // what Complete made known
    }

    // MQTT 3.1.1 section 3.4: its acknowledgement has no room for a reason, so it would say "taken".
    [Theory]
    [InlineData(MqttProtocolVersion.V311)]
    [InlineData(MqttProtocolVersion.V500)]
    public async Task A_packet_refused_while_stopping_is_never_acknowledged_as_taken(MqttProtocolVersion version)
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "sensor", version, keepSession: false);
        await host.Services.GetRequiredService<IPacketSource>().StopIntakeAsync();
        var publishing = client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1));
        if (version == MqttProtocolVersion.V500)
        {
            Assert.Equal(MqttClientPublishReasonCode.ImplementationSpecificError, (await publishing).ReasonCode);
        }
        else
        {
            await Assert.ThrowsAnyAsync<Exception>(() => publishing);
        }
    }

    [Fact]
    public async Task Summaries_of_the_moment_do_not_push_out_the_events_of_an_absent_subscriber()
    {
        var options = TestHall.Options() with { Broker = new() { EmbeddedBroker = new() { Port = 0, Anonymous = true, PendingMessages = 10 } } };
        await using var host = await TestHall.StartAsync(options);
        await using var coach = await Subscriber.ConnectAsync(host.MqttPort, "coach", keepSession: true, $"saltograph/v1/{TestHall.Hall}/athletes/#");
        await coach.CutAsync();
        var broker = host.Services.GetRequiredService<EmbeddedBroker>();
        while (broker.IsConnected("coach"))
        {
            await Task.Yield();
        }

        for (var i = 0; i < 50; i++)
        {
            await broker.SendAsync(new($"saltograph/v1/{TestHall.Hall}/athletes/amber/live", [1], "text/plain", 0, Retain: false), TestContext.Current.CancellationToken);
        }

        await broker.SendAsync(new(TestHall.Jumps("amber"), [2], "text/plain", 1, Retain: false), TestContext.Current.CancellationToken);
        await coach.ReconnectAsync();
        Assert.Equal(TestHall.Jumps("amber"), (await coach.NextAsync()).Topic);
    }

    [Fact]
    public async Task An_athlete_whose_measuring_cannot_begin_holds_up_nobody_and_begins_with_a_later_packet()
    {
        var attempts = 0;
        await using var host = await TestHall.StartAsync(adjust: services => services.AddSingleton<Func<AthleteId, IAthleteMeasuring>>(
            _ => athlete => ++attempts == 1 ? throw new InvalidOperationException("cannot begin") : new ScriptedMeasuring(athlete)));
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        Assert.True((await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(1))).IsSuccess);
        Assert.True((await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(2))).IsSuccess);
        Assert.Equal(ScriptedMeasuring.EventId("amber", 2), IdOf(await client.NextAsync()));
    }

    [Fact]
    public async Task Health_and_jumps_are_told_over_http()
    {
        await using var host = await TestHall.StartAsync();
        await using var client = await Subscriber.ConnectAsync(host.MqttPort, "coach", filters: TestHall.Jumps("+"));
        await client.PublishAsync(TestHall.Samples("a-trunk"), ScriptedMeasuring.Jump(7));
        await client.NextAsync();
        using var http = new HttpClient { BaseAddress = new($"http://127.0.0.1:{host.HttpPort}") };
        Assert.Equal(HttpStatusCode.OK, (await http.GetAsync(new Uri("/health/live", UriKind.Relative), TestContext.Current.CancellationToken)).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await http.GetAsync(new Uri("/health/ready", UriKind.Relative), TestContext.Current.CancellationToken)).StatusCode);
        var page = JsonDocument.Parse(await http.GetStringAsync(new Uri("/api/v1/jumps?order=newest-first", UriKind.Relative), TestContext.Current.CancellationToken)).RootElement;
        Assert.Equal(7, page.GetProperty("jumps")[0].GetProperty("number").GetInt32());
        Assert.Contains("not a medical device", page.GetProperty("caution").GetString(), StringComparison.Ordinal);
    }

    internal static string IdOf(MqttApplicationMessage message)
    {
        Assert.True(CloudEventReader.TryRead(message.Payload.ToArray(), out var cloudEvent).IsAccepted);
        return cloudEvent!.Attributes.Id;
    }

    private sealed class FailingSink : IFactSink
    {
        public string Name => "failing";

        public bool MustMissNothing => true;

        public ValueTask EmitAsync(Fact fact, CancellationToken stop) => throw new InvalidOperationException("full");
    }

    private sealed class HangingSink : IFactSink
    {
        public string Name => "hanging";

        public bool MustMissNothing => false;

        public async ValueTask EmitAsync(Fact fact, CancellationToken stop) => await Task.Delay(Timeout.Infinite, stop);
    }
}
