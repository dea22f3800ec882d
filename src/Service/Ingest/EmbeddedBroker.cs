using System.Collections.Concurrent;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using MQTTnet.Server;
using Saltograph.Service.Security;
using Saltograph.Wire;

namespace Saltograph.Service.Ingest;

/// <summary>The broker inside the service: packets are taken where they are published, before the sender gets its acknowledgement.</summary>
/// <remarks>
/// While a packet waits, its connection is not read further, so a sender can never have more than one packet in work and
/// TCP slows it down. Only the service itself may publish on athletes' topics and clock answers.
/// </remarks>
internal sealed class EmbeddedBroker(SensorInbox inbox, BrokerAccess access, TimeProvider time, ILogger<EmbeddedBroker> log) : IPacketSource, IMessageOut
{
    // Not an allowed id of a client that connects from outside, because the broker refuses it.
    private const string OwnClientId = "saltograph-service";

    // Ids are remembered; MQTT 5 section 3.1.3.1 wants at least 23 to be allowed.
    private const int LongestClientId = 64;

    private const int QuietPolls = 5;
    private static readonly TimeSpan DrainPoll = TimeSpan.FromMilliseconds(20);

    private readonly OpenDeliveries _open = new();
    private readonly ConcurrentDictionary<string, MqttProtocolVersion> _connected = new(StringComparer.Ordinal);
    private readonly TaskCompletionSource _started = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private MqttServer? _server;

    /// <inheritdoc/>
    public IObservable<IncomingPacket> Packets => inbox.Packets;

    /// <inheritdoc/>
    public bool IsReady => _server?.IsStarted == true;

    /// <summary>Whether a client of this id is connected now.</summary>
    public bool IsConnected(string clientId) => _connected.ContainsKey(clientId);

    /// <summary>Hooks into the broker; called once, before it starts.</summary>
    public void Attach(MqttServer server)
    {
        _server = server;
        access.Attach(server);
        server.StartedAsync += _ =>
        {
            _started.TrySetResult();
            return Task.CompletedTask;
        };
        _open.Watch(server);
        server.ValidatingConnectionAsync += ValidateAsync;
        server.InterceptingPublishAsync += InterceptAsync;
        server.InterceptingClientEnqueueAsync += SkipAbsentAsync;
        server.ClientConnectedAsync += NoteConnectedAsync;
        server.ClientDisconnectedAsync += NoteDisconnectedAsync;
        server.ApplicationMessageEnqueuedOrDroppedAsync += NoteDroppedAsync;
    }

    /// <inheritdoc/>
    public Task StopIntakeAsync()
    {
        inbox.Close();
        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public async ValueTask SendAsync(OutgoingMessage message, CancellationToken stop)
    {
        var server = _server ?? throw new InvalidOperationException("The broker is not attached yet.");
        await _started.Task.WaitAsync(stop); // the library starts it last of all, and an unfinished session may tell something before
        await server.InjectApplicationMessage(
            new InjectedMqttApplicationMessage(message.ToMqtt()) { SenderClientId = OwnClientId }, stop);
    }

    /// <inheritdoc/>
    public async Task DrainAsync(CancellationToken stop)
    {
        // The library has no signal for "everything delivered", and between its queue and the connection a message is in
        // neither of them for a moment: only several looks in a row are sure.
        var quiet = 0;
        while (_server is { IsStarted: true } server && quiet < QuietPolls)
        {
            var clients = await server.GetClientsAsync();
            quiet = _open.IsEmpty && clients.All(client => client.Session.PendingApplicationMessagesCount == 0) ? quiet + 1 : 0;
            await Task.Delay(DrainPoll, time, stop);
        }
    }

    /// <inheritdoc/>
    public async Task CloseAsync()
    {
        // The web server stops before the broker and would wait for these connections until its time is over.
        if (_server is { IsStarted: true } server)
        {
            await server.StopAsync(new MqttServerStopOptions());
        }
    }

    private static Task ValidateAsync(ValidatingConnectionEventArgs connection)
    {
        if (connection.ClientId == OwnClientId || connection.ClientId.Length > LongestClientId)
        {
            connection.ReasonCode = MqttConnectReasonCode.ClientIdentifierNotValid;
        }

        return Task.CompletedTask;
    }

    private async Task InterceptAsync(InterceptingPublishEventArgs publish)
    {
        if (publish.ClientId == OwnClientId)
        {
            return;
        }

        if (!access.MayPublish(publish.ClientId, publish.ApplicationMessage.Topic))
        {
            RefuseTopic(publish);
            return;
        }

        try
        {
            await HandleAsync(publish);
        }
        catch (OperationCanceledException) when (publish.CancellationToken.IsCancellationRequested)
        {
            publish.ProcessPublish = false; // the connection ended meanwhile; there is nobody to acknowledge to
        }
#pragma warning disable CA1031 // the library would swallow it without a word
        catch (Exception problem)
#pragma warning restore CA1031
        {
            Refuse(publish, MqttPubAckReasonCode.UnspecifiedError);
            log.InterceptorFailed(problem, publish.ApplicationMessage.Topic);
        }
    }

    private Task HandleAsync(InterceptingPublishEventArgs publish)
    {
        var message = publish.ApplicationMessage;
        if (!inbox.TryFind(message.Topic, out var sensor, out var kind) || kind is SensorTopic.ClockAnswer or SensorTopic.Faults)
        {
            if (message.Topic.StartsWith("saltograph/", StringComparison.Ordinal))
            {
                RefuseTopic(publish);
            }

            return Task.CompletedTask;
        }

        switch (kind)
        {
            case SensorTopic.Samples:
                return TakeAsync(inbox.Push(sensor, message.Payload), publish);
            case SensorTopic.State:
                inbox.Note(sensor, message.Payload);
                return Task.CompletedTask;
            default:
                publish.ProcessPublish = false;
                return inbox.Answer(sensor, message.Payload, message.CorrelationData) is { } answer
                    ? SendAsync(answer, publish.CancellationToken).AsTask()
                    : Task.CompletedTask;
        }
    }

    private void RefuseTopic(InterceptingPublishEventArgs publish)
    {
        publish.ProcessPublish = false;
        publish.Response.ReasonCode = MqttPubAckReasonCode.NotAuthorized;
        log.ForeignTopicRefused(publish.ClientId, publish.ApplicationMessage.Topic);
    }

    private async Task TakeAsync(IncomingPacket packet, InterceptingPublishEventArgs publish)
    {
        switch (await packet.Fate.WaitAsync(publish.CancellationToken))
        {
            case PacketFate.QueueFull:
                Refuse(publish, MqttPubAckReasonCode.QuotaExceeded);
                break;
            case PacketFate.Stopping:
                publish.Response.ReasonString = "The service stops; send again later.";
                Refuse(publish, MqttPubAckReasonCode.ImplementationSpecificError);
                break;
            default:
                break;
        }
    }

    // An acknowledgement before MQTT 5 has no reason code and means "taken" (MQTT 3.1.1 section 3.4): the only way not to
    // say that is to end the connection, and the sender sends again on the next one.
    private void Refuse(InterceptingPublishEventArgs publish, MqttPubAckReasonCode reason)
    {
        publish.ProcessPublish = false;
        publish.Response.ReasonCode = reason;
        publish.CloseConnection = _connected.TryGetValue(publish.ClientId, out var version) && version < MqttProtocolVersion.V500;
    }

    private Task NoteConnectedAsync(ClientConnectedEventArgs client)
    {
        _connected[client.ClientId] = client.ProtocolVersion;
        return Task.CompletedTask;
    }

    private Task NoteDisconnectedAsync(ClientDisconnectedEventArgs client)
    {
        // After a take-over the same id is connected still, by another connection.
        if (client.DisconnectType != MqttClientDisconnectType.Takeover)
        {
            _connected.TryRemove(client.ClientId, out _);
        }

        return Task.CompletedTask;
    }

    // Summaries of the moment are worth nothing later, and kept for absent subscribers they would push out their events.
    private Task SkipAbsentAsync(InterceptingClientApplicationMessageEnqueueEventArgs message)
    {
        message.AcceptEnqueue = message.ApplicationMessage.QualityOfServiceLevel != MqttQualityOfServiceLevel.AtMostOnce
            || IsConnected(message.ReceiverClientId);
        return Task.CompletedTask;
    }

    private Task NoteDroppedAsync(ApplicationMessageEnqueuedEventArgs message)
    {
        if (message.IsDropped)
        {
            log.SubscriberTooSlow(message.ReceiverClientId, message.ApplicationMessage.Topic);
        }

        return Task.CompletedTask;
    }
}
