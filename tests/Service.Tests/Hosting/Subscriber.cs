using System.Buffers;
using System.Threading.Channels;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>An MQTT 5 client of the test: publishes, and keeps what it receives.</summary>
internal sealed class Subscriber : IAsyncDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(30);

    private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();
    private readonly Channel<MqttApplicationMessage> _received = Channel.CreateUnbounded<MqttApplicationMessage>();
    private readonly MqttClientOptions _options;

    private Subscriber(int port, string id, bool keepSession, MqttProtocolVersion version)
    {
        _options = new MqttClientOptionsBuilder()
            .WithTcpServer("127.0.0.1", port)
            .WithClientId(id)
            .WithProtocolVersion(version)
            .WithCleanSession(!keepSession)
            .WithSessionExpiryInterval(keepSession ? 3600u : 0u)
            .Build();
        ((MqttClientTcpOptions)_options.ChannelOptions).BufferSize = 262_144;
        _client.ApplicationMessageReceivedAsync += message =>
        {
            // The payload is only valid inside the handler.
            message.ApplicationMessage.Payload = new ReadOnlySequence<byte>(message.ApplicationMessage.Payload.ToArray());
            _received.Writer.TryWrite(message.ApplicationMessage);
            return Task.CompletedTask;
        };
    }

    public bool IsConnected => _client.IsConnected;

    /// <summary>Whether something has come that was not looked at yet.</summary>
    public bool HasMore => _received.Reader.TryPeek(out _);

    public static Task<Subscriber> ConnectAsync(int port, string id, bool keepSession = false, params string[] filters) =>
        ConnectAsync(port, id, MqttProtocolVersion.V500, keepSession, filters);

    public static async Task<Subscriber> ConnectAsync(int port, string id, MqttProtocolVersion version, bool keepSession, params string[] filters)
    {
        var subscriber = new Subscriber(port, id, keepSession, version);
        await subscriber.ReconnectAsync();
        foreach (var filter in filters)
        {
            await subscriber._client.SubscribeAsync(filter, MqttQualityOfServiceLevel.AtLeastOnce, TestContext.Current.CancellationToken);
        }

        return subscriber;
    }

    public Task ReconnectAsync() => _client.ConnectAsync(_options, TestContext.Current.CancellationToken);

    /// <summary>Ends the connection without a word, as a lost network does.</summary>
    public Task CutAsync() => !_client.IsConnected ? Task.CompletedTask : _client.DisconnectAsync(
        new MqttClientDisconnectOptions { Reason = MqttClientDisconnectOptionsReason.DisconnectWithWillMessage, SessionExpiryInterval = 3600 },
        CancellationToken.None);

    public Task<MqttClientPublishResult> PublishAsync(string topic, byte[] payload, int qualityOfService = 1, byte[]? correlationData = null) =>
        _client.PublishAsync(
            new MqttApplicationMessage
            {
                Topic = topic,
                PayloadSegment = new(payload),
                QualityOfServiceLevel = (MqttQualityOfServiceLevel)qualityOfService,
                CorrelationData = correlationData,
            },
            TestContext.Current.CancellationToken);

    /// <summary>The next message; fails the test when none comes.</summary>
    public async Task<MqttApplicationMessage> NextAsync()
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        limit.CancelAfter(Patience);
        return await _received.Reader.ReadAsync(limit.Token);
    }

    /// <summary>Messages until one fulfils the condition, that one included.</summary>
    public async Task<List<MqttApplicationMessage>> UntilAsync(Func<MqttApplicationMessage, bool> isLast)
    {
        var messages = new List<MqttApplicationMessage>();
        do
        {
            messages.Add(await NextAsync());
        }
        while (!isLast(messages[^1]));
        return messages;
    }

    public async ValueTask DisposeAsync()
    {
        try
        {
            if (_client.IsConnected)
            {
                await _client.DisconnectAsync(new MqttClientDisconnectOptions(), CancellationToken.None);
            }
        }
        catch (MQTTnet.Exceptions.MqttCommunicationException)
        {
            // The broker closed the connection in the same moment.
        }

        _client.Dispose();
    }
}
