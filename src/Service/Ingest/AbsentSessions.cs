using System.Collections.Concurrent;
using MQTTnet.Server;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.Ingest;

/// <summary>
/// Sessions that the embedded broker keeps for absent clients, in bounds: the library keeps them for ever, whatever expiry
/// a client asked for (MQTT 5 section 3.1.2.11.2), and each holds a queue.
/// </summary>
/// <remarks>A session ends when its client is away for longer than it asked for, or than is allowed; and the one whose client is away longest, when there are too many.</remarks>
internal sealed class AbsentSessions(BrokerOptions options, TimeProvider time, ILogger<AbsentSessions> log) : BackgroundService
{
    private static readonly TimeSpan Look = TimeSpan.FromSeconds(10);

    private readonly EmbeddedBrokerOptions _limits = options.EmbeddedBroker;
    private readonly ConcurrentDictionary<string, long> _awaySince = new(StringComparer.Ordinal);
    private readonly SemaphoreSlim _oneAtATime = new(1);
    private MqttServer? _server;

    /// <summary>Hooks into the broker; called once, before it starts.</summary>
    public void Attach(MqttServer server)
    {
        _server = server;
        server.ClientConnectedAsync += client =>
        {
            _awaySince.TryRemove(client.ClientId, out _);
            return Task.CompletedTask;
        };
        server.ClientDisconnectedAsync += client => client.DisconnectType == MqttClientDisconnectType.Takeover
            ? Task.CompletedTask // the id is connected still, by another connection
            : NoteAwayAsync(client.ClientId);
    }

    /// <summary>Ends the sessions that are over or too many.</summary>
    public async Task EndOldAsync()
    {
        if (_server is not { IsStarted: true } server)
        {
            return;
        }

        await _oneAtATime.WaitAsync();
        try
        {
            var sessions = (await server.GetSessionsAsync()).ToDictionary(session => session.Id, StringComparer.Ordinal);
            var away = _awaySince.OrderBy(client => client.Value).ToList();
            var kept = away.Count(client => sessions.ContainsKey(client.Key));
            foreach (var (id, since) in away)
            {
                if (!sessions.TryGetValue(id, out var session))
                {
                    _awaySince.TryRemove(new(id, since)); // it wanted nothing kept
                    continue;
                }

                var isOver = time.GetElapsedTime(since).TotalSeconds >= LongestS(session);
                if ((isOver || kept > _limits.AbsentSessions) && _awaySince.TryRemove(new(id, since)))
                {
                    var waiting = session.PendingApplicationMessagesCount;
                    await session.DeleteAsync();
                    kept--;
                    log.SessionEnded(id, isOver ? "away too long" : "too many are away", waiting);
                }
            }
        }
        finally
        {
            _oneAtATime.Release();
        }
    }

    /// <inheritdoc/>
    public override void Dispose()
    {
        _oneAtATime.Dispose();
        base.Dispose();
    }

    /// <inheritdoc/>
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Look, time);
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            await EndOldAsync();
        }
    }

    private Task NoteAwayAsync(string client)
    {
        _awaySince[client] = time.GetTimestamp();
        return _awaySince.Count > _limits.AbsentSessions ? EndOldAsync() : Task.CompletedTask;
    }

    // Before MQTT 5 a client cannot say how long.
    private double LongestS(MqttSessionStatus session) =>
        session.ExpiryInterval > 0 ? Math.Min(session.ExpiryInterval, _limits.AbsentSessionS) : _limits.AbsentSessionS;
}
