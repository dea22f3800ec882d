using System.Collections.Concurrent;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using MQTTnet.Server;
using Saltograph.Service.Configuration;
using Saltograph.Service.Ingest;
using Saltograph.Service.Privacy;

namespace Saltograph.Service.Durability;

/// <summary>
/// Sessions of the embedded broker die with the process. A subscriber who wants to keep one and comes for the first time
/// since the start gets the events that are kept, as soon as it subscribes to them: what it has had already comes a second time, with the same id.
/// </summary>
/// <remarks>
/// What was lost with the process is not kept longer than <see cref="EmbeddedBrokerOptions.RepublishS"/>: after that
/// nobody is owed anything, and who came is forgotten. Until then the first 4096 ids are remembered, for anybody may invent more.
/// </remarks>
internal sealed class LostSessions(OutboxSender outbox, ConsentGate consent, BrokerOptions options, TimeProvider time, ILogger<LostSessions> log)
{
    /// <summary>Client ids that are remembered.</summary>
    public const int MostClients = 4096;

    private const int MostFilters = 16; // of one client

    private readonly long _started = time.GetTimestamp();
    private readonly ConcurrentDictionary<string, byte> _known = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, ConcurrentDictionary<string, byte>> _owed = new(StringComparer.Ordinal); // to whom; what was paid

    /// <summary>How many clients are remembered.</summary>
    public int Remembered => Math.Max(_known.Count, _owed.Count);

    private bool IsOver => time.GetElapsedTime(_started).TotalSeconds > options.EmbeddedBroker.RepublishS;

    /// <summary>Hooks into the broker; called once, before it starts.</summary>
    public void Attach(MqttServer server)
    {
        server.ValidatingConnectionAsync += connection =>
        {
            Note(connection.ClientId, KeepsSession(connection));
            return Task.CompletedTask;
        };
        server.ClientSubscribedTopicAsync += subscription => ResendAsync(server, subscription);
    }

    /// <summary>A client connects.</summary>
    /// <param name="client">Its id.</param>
    /// <param name="keepsSession">Whether it wants to find its session again.</param>
    public void Note(string client, bool keepsSession)
    {
        if (IsOver)
        {
            _known.Clear();
            _owed.Clear();
            return;
        }

        var isRemembered = _known.Count < MostClients;
        if (!keepsSession)
        {
            _owed.TryRemove(client, out _); // it wants nothing of what was before
        }
        else if (isRemembered && !_known.ContainsKey(client))
        {
            _owed.TryAdd(client, new(StringComparer.Ordinal));
        }

        if (isRemembered)
        {
            _known.TryAdd(client, 0);
        }
    }

    // MQTT 5 section 3.1.2.11.2 and 3.1.1 section 3.1.2.4: who wants its session kept says so with an expiry, or without "clean".
    private static bool KeepsSession(ValidatingConnectionEventArgs connection) => connection.CleanSession == false
        && (connection.ProtocolVersion < MqttProtocolVersion.V500 || connection.SessionExpiryInterval > 0);

    private async Task ResendAsync(MqttServer server, ClientSubscribedTopicEventArgs subscription)
    {
        var filter = subscription.TopicFilter;
        if (filter.QualityOfServiceLevel == MqttQualityOfServiceLevel.AtMostOnce
            || IsOver
            || !_owed.TryGetValue(subscription.ClientId, out var paid)
            || paid.Count >= MostFilters
            || !paid.TryAdd(filter.Topic, 0))
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
                if (!message.Retain && consent.MayTell(message) && MqttTopicFilterComparer.Compare(message.Topic, filter.Topic) == MqttTopicFilterCompareResult.IsMatch)
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
            paid.TryRemove(filter.Topic, out _);
            log.EventsNotSentAgain(problem, subscription.ClientId);
        }
    }
}
