using System.Collections.Concurrent;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using MQTTnet.Server;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Durability;

/// <summary>
/// Sessions of the embedded broker die with the process. A subscriber who wants to keep one and comes for the first time
/// since the start gets the events that are kept, as soon as it subscribes to them: what it has had already comes a second time, with the same id.
/// </summary>
internal sealed class LostSessions(OutboxSender outbox, ILogger<LostSessions> log)
{
    private readonly ConcurrentDictionary<string, byte> _known = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, byte> _owed = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<(string Client, string Filter), byte> _paid = new();

    /// <summary>Hooks into the broker; called once, before it starts.</summary>
    public void Attach(MqttServer server)
    {
        server.ValidatingConnectionAsync += connection =>
        {
            NoteConnection(connection);
            return Task.CompletedTask;
        };
        server.ClientSubscribedTopicAsync += subscription => ResendAsync(server, subscription);
    }

    // MQTT 5 section 3.1.2.11.2 and 3.1.1 section 3.1.2.4: who wants its session kept says so with an expiry, or without "clean".
    private void NoteConnection(ValidatingConnectionEventArgs connection)
    {
        var wantsSession = connection.ProtocolVersion < MqttProtocolVersion.V500 || connection.SessionExpiryInterval > 0;
        if (!wantsSession || connection.CleanSession != false)
        {
            _owed.TryRemove(connection.ClientId, out _); // it wants nothing of what was before
        }
        else if (!_known.ContainsKey(connection.ClientId))
        {
            _owed.TryAdd(connection.ClientId, 0);
        }

        _known.TryAdd(connection.ClientId, 0);
    }

    private async Task ResendAsync(MqttServer server, ClientSubscribedTopicEventArgs subscription)
    {
        var filter = subscription.TopicFilter;
        if (filter.QualityOfServiceLevel == MqttQualityOfServiceLevel.AtMostOnce
            || !_owed.ContainsKey(subscription.ClientId)
            || !_paid.TryAdd((subscription.ClientId, filter.Topic), 0))
        {
            return;
        }

        try
        {
            var sessions = await server.GetSessionsAsync();
            if (sessions.FirstOrDefault(session => session.Id == subscription.ClientId) is not { } session)
            {
                return;
            }

            var count = 0;
            await foreach (var message in outbox.KeptAsync(CancellationToken.None))
            {
                // Retained ones come with the subscription anyway.
                if (!message.Retain && MqttTopicFilterComparer.Compare(message.Topic, filter.Topic) == MqttTopicFilterCompareResult.IsMatch)
                {
                    await session.DeliverApplicationMessageAsync(message.ToMqtt());
                    count++;
                }
            }

            if (count > 0)
            {
                log.EventsSentAgain(count, subscription.ClientId);
            }
        }
#pragma warning disable CA1031 // the library would swallow it without a word
        catch (Exception problem)
#pragma warning restore CA1031
        {
            _paid.TryRemove((subscription.ClientId, filter.Topic), out _);
            log.EventsNotSentAgain(problem, subscription.ClientId);
        }
    }
}
