using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using MQTTnet;
using MQTTnet.Server;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Ingest;
using Saltograph.Store;

namespace Saltograph.Service.Tests.Durability;

/// <summary>Who is owed events of the process before, remembered in bounds.</summary>
public sealed class LostSessionsTests : IAsyncLifetime
{
    private const double RepublishS = 600;

    private readonly TemporaryFolder _folder = new();
    private readonly FakeTimeProvider _time = new();
    private readonly int _port = FreeTcpPort.Find();
    private readonly MqttServer _server;
    private HallStore? _store;
    private OutboxSender? _outbox;
    private LostSessions? _sessions;

    public LostSessionsTests() => _server = new MqttServerFactory().CreateMqttServer(new MqttServerOptionsBuilder()
        .WithDefaultEndpoint().WithDefaultEndpointPort(_port).WithDefaultEndpointBoundIPAddress(System.Net.IPAddress.Loopback).WithPersistentSessions().Build());

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        var options = new BrokerOptions { EmbeddedBroker = new() { RepublishS = RepublishS } };
        _store = await HallStore.OpenAsync(new() { File = _folder.File("hall.db") }, Stop);
        _outbox = new(_store, new Nowhere(), options, new(NullLogger<DurabilityState>.Instance), _time);
        _sessions = new(_outbox, new(new(_store), new() { People = new() { ConsentAssumed = true } }), options, _time, NullLogger<LostSessions>.Instance);
        _sessions.Attach(_server);
        await _server.StartAsync();
    }

    [Fact]
    public async Task After_the_time_for_which_events_are_kept_everybody_is_forgotten()
    {
        await VisitAsync("coach");
        await VisitAsync("physio");
        Assert.Equal(2, _sessions!.Remembered);
        _time.Advance(TimeSpan.FromSeconds(RepublishS + 1));
        await VisitAsync("analyst");
        Assert.Equal(0, _sessions.Remembered);
    }

    [Fact]
    public async Task More_ids_than_the_limit_are_not_remembered()
    {
        for (var i = 0; i < LostSessions.MostClients + 20; i++)
        {
            _sessions!.Note(string.Create(System.Globalization.CultureInfo.InvariantCulture, $"client-{i}"), keepsSession: i % 2 == 0);
        }

        await VisitAsync("coach");
        Assert.Equal(LostSessions.MostClients, _sessions!.Remembered);
    }

    public async ValueTask DisposeAsync()
    {
        await _server.StopAsync(new MqttServerStopOptions());
        _server.Dispose();
        await _outbox!.DisposeAsync();
        await _store!.DisposeAsync();
        _folder.Dispose();
    }

    private async Task VisitAsync(string id)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(
            new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", _port).WithClientId(id).WithCleanStart(false).WithSessionExpiryInterval(60)
                .WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500).Build(),
            Stop);
        await client.DisconnectAsync(new MqttClientDisconnectOptions(), Stop);
    }

    private sealed class Nowhere : IMessageOut
    {
        public ValueTask SendAsync(OutgoingMessage message, CancellationToken stop) => ValueTask.CompletedTask;

        public Task DrainAsync(CancellationToken stop) => Task.CompletedTask;
    }
}
