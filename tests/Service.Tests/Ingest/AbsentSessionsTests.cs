using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Server;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Faults;

namespace Saltograph.Service.Tests.Ingest;

/// <summary>Real clients at the broker library, with a clock of the test's.</summary>
public sealed class AbsentSessionsTests : IAsyncLifetime
{
    private const int MostAbsent = 3;

    private readonly FakeTimeProvider _time = new();
    private readonly int _port = FreeTcpPort.Find();
    private readonly MqttServer _server;
    private readonly AbsentSessions _sessions;

    public AbsentSessionsTests()
    {
        _server = new MqttServerFactory().CreateMqttServer(new MqttServerOptionsBuilder()
            .WithDefaultEndpoint().WithDefaultEndpointPort(_port).WithDefaultEndpointBoundIPAddress(System.Net.IPAddress.Loopback)
            .WithPersistentSessions().Build());
        _sessions = new(
            new() { EmbeddedBroker = new() { AbsentSessionS = 3600, AbsentSessions = MostAbsent } }, _time, NullLogger<AbsentSessions>.Instance);
        _sessions.Attach(_server);
    }

    public async ValueTask InitializeAsync() => await _server.StartAsync();

    [Theory]
    [InlineData(MqttProtocolVersion.V500, 600u, 600)] // as asked for
    [InlineData(MqttProtocolVersion.V500, 86_400u, 3600)] // no longer than is allowed
    [InlineData(MqttProtocolVersion.V500, uint.MaxValue, 3600)] // "never ends": MQTT 5 section 3.1.2.11.2
    [InlineData(MqttProtocolVersion.V311, 0u, 3600)] // a client that cannot say
    public async Task A_session_ends_when_its_client_is_away_for_too_long(MqttProtocolVersion version, uint askedForS, int keptS)
    {
        await VisitAsync("coach", version, askedForS);
        _time.Advance(TimeSpan.FromSeconds(keptS - 1));
        await _sessions.EndOldAsync();
        Assert.Equal("coach", Assert.Single(await IdsAsync()));
        _time.Advance(TimeSpan.FromSeconds(1));
        await _sessions.EndOldAsync();
        Assert.Empty(await IdsAsync());
    }

    [Fact]
    public async Task Who_comes_back_in_time_has_the_whole_time_again()
    {
        await VisitAsync("coach", MqttProtocolVersion.V500, 600);
        _time.Advance(TimeSpan.FromSeconds(500));
        await VisitAsync("coach", MqttProtocolVersion.V500, 600);
        _time.Advance(TimeSpan.FromSeconds(500));
        await _sessions.EndOldAsync();
        Assert.Single(await IdsAsync());
    }

    [Fact]
    [Fault("subscribers stay away, too many of them", "the sessions of those away longest end", "events in the queues of ended sessions", back: "when they connect again")]
    public async Task Of_too_many_absent_sessions_those_away_longest_end()
    {
        for (var i = 0; i < MostAbsent + 2; i++)
        {
            await VisitAsync($"client-{i}", MqttProtocolVersion.V500, 600);
            _time.Advance(TimeSpan.FromSeconds(1));
        }

        await _sessions.EndOldAsync();
        Assert.Equal(["client-2", "client-3", "client-4"], await IdsAsync());
    }

    [Fact]
    public async Task Clients_that_keep_no_session_push_nobody_out()
    {
        await VisitAsync("coach", MqttProtocolVersion.V500, 600);
        for (var i = 0; i < 5 * MostAbsent; i++)
        {
            await VisitAsync($"passer-by-{i}", MqttProtocolVersion.V500, 0);
        }

        await _sessions.EndOldAsync();
        Assert.Contains("coach", await IdsAsync(), StringComparer.Ordinal);
    }

    [Fact]
    public async Task A_connected_client_keeps_its_session_however_long()
    {
        using var client = await ConnectAsync("coach", MqttProtocolVersion.V500, 600);
        _time.Advance(TimeSpan.FromDays(30));
        await _sessions.EndOldAsync();
        Assert.Single(await IdsAsync());
        Assert.True(client.IsConnected);
    }

    public async ValueTask DisposeAsync()
    {
        await _server.StopAsync(new MqttServerStopOptions());
        _server.Dispose();
        _sessions.Dispose();
    }

    private async Task<string[]> IdsAsync() => [.. (await _server.GetSessionsAsync()).Select(session => session.Id).Order(StringComparer.Ordinal)];

    private async Task<IMqttClient> ConnectAsync(string id, MqttProtocolVersion version, uint expiryS)
    {
        var client = new MqttClientFactory().CreateMqttClient();
        var options = new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", _port).WithClientId(id).WithProtocolVersion(version)
            .WithCleanSession(version == MqttProtocolVersion.V500 && expiryS == 0);
        await client.ConnectAsync((expiryS > 0 ? options.WithSessionExpiryInterval(expiryS) : options).Build(), TestContext.Current.CancellationToken);
        return client;
    }

    private async Task VisitAsync(string id, MqttProtocolVersion version, uint expiryS)
    {
        var left = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        Task NoteAsync(ClientDisconnectedEventArgs client)
        {
            left.TrySetResult();
            return Task.CompletedTask;
        }

        using var client = await ConnectAsync(id, version, expiryS);
        _server.ClientDisconnectedAsync += NoteAsync; // after the one of the class: that has been told then
        await client.DisconnectAsync(new MqttClientDisconnectOptions { SessionExpiryInterval = expiryS }, TestContext.Current.CancellationToken);
        await left.Task.WaitAsync(TimeSpan.FromSeconds(30), TestContext.Current.CancellationToken);
        _server.ClientDisconnectedAsync -= NoteAsync;
    }
}
