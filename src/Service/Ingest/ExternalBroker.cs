using System.Threading.Channels;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Wire;

namespace Saltograph.Service.Ingest;

/// <summary>A client of a broker elsewhere, with a session that outlives connections and restarts of the service.</summary>
/// <remarks>
/// The subscription is never taken back: what arrives while the service is down waits in the session, and what was not
/// acknowledged is sent again. The receive maximum bounds the packets in work.
/// </remarks>
internal sealed class ExternalBroker : IPacketSource, IMessageOut, IAsyncDisposable
{
    // The default of 8 kB becomes the socket's receive buffer, which stalls at high rates on loopback (40 ms per message).
    private const int SocketBufferBytes = 262_144;

    private static readonly TimeSpan AnswerTimeout = TimeSpan.FromSeconds(10);

    private readonly SensorInbox _inbox;
    private readonly TimeProvider _time;
    private readonly ILogger<ExternalBroker> _log;
    private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();
    private readonly MqttClientOptions _clientOptions;
    private readonly Backoff _backoff;
    private readonly HallId _hall;
    private readonly Channel<OutgoingMessage> _outgoing;
    private readonly CancellationTokenSource _stop = new();
    private readonly ConnectionState _state = new();

    private InOrderAcknowledgement? _acknowledgement;
    private int _waiting;
    private bool _disposed;
    private Task _running = Task.CompletedTask;

    /// <summary>Prepares; <see cref="Start"/> connects.</summary>
    public ExternalBroker(
        ServiceOptions options, string? password, SensorInbox inbox, TimeProvider time, ILogger<ExternalBroker> log)
    {
        (_inbox, _time, _log, _hall) = (inbox, time, log, new(options.Hall));
        var broker = options.Broker.ExternalBroker;
        _clientOptions = Build(broker, _hall, password);
        _backoff = new(TimeSpan.FromSeconds(broker.ReconnectFirstS), TimeSpan.FromSeconds(broker.ReconnectLongestS), Random.Shared);
        _outgoing = Channel.CreateBounded<OutgoingMessage>(new BoundedChannelOptions(options.Limits.WaitingEvents) { SingleReader = true });
        _client.ApplicationMessageReceivedAsync += ReceiveAsync;
        _client.DisconnectedAsync += NoteDisconnectedAsync;
    }

    /// <inheritdoc/>
    public IObservable<IncomingPacket> Packets => _inbox.Packets;

    /// <inheritdoc/>
    public bool IsReady => _state.IsConnected;

    /// <summary>Ends when the connection is up and the sensors' topics are subscribed.</summary>
    public Task WhenReady => _state.WhenConnected;

    /// <summary>Begins to connect, receive and send.</summary>
    public void Start() => _running = Task.WhenAll(StayConnectedAsync(_stop.Token), SendWaitingAsync(_stop.Token));

    /// <inheritdoc/>
    public Task StopIntakeAsync()
    {
        _inbox.Close();
        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public Task CloseAsync() => DisposeAsync().AsTask();

    /// <inheritdoc/>
    public async ValueTask SendAsync(OutgoingMessage message, CancellationToken stop)
    {
        if (message.QualityOfService == 0)
        {
            if (IsReady && _outgoing.Writer.TryWrite(message))
            {
                Interlocked.Increment(ref _waiting);
            }

            return;
        }

        await _outgoing.Writer.WriteAsync(message, stop);
        Interlocked.Increment(ref _waiting);
    }

    /// <inheritdoc/>
    public async Task DrainAsync(CancellationToken stop)
    {
        _outgoing.Writer.TryComplete();
        await _outgoing.Reader.Completion.WaitAsync(stop);
        while (Volatile.Read(ref _waiting) > 0)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(5), _time, stop);
        }
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, true))
        {
            return; // registered under two ports, so the container disposes it more than once
        }

        await _stop.CancelAsync();
        await _running.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        Interlocked.Exchange(ref _acknowledgement, null)?.Dispose();
        if (_client.IsConnected)
        {
            await _client.DisconnectAsync(new MqttClientDisconnectOptions(), CancellationToken.None);
        }

        _client.Dispose();
        _stop.Dispose();
    }

    private static MqttClientOptions Build(ExternalBrokerOptions broker, HallId hall, string? password)
    {
        var builder = new MqttClientOptionsBuilder()
            .WithTcpServer(broker.Host, broker.Port)
            .WithProtocolVersion(MqttProtocolVersion.V500)
            .WithClientId($"ingress-{hall}")
            .WithCleanStart(false)
            .WithSessionExpiryInterval((uint)broker.SessionExpiryS)
            .WithReceiveMaximum((ushort)broker.ReceiveMaximum)
            .WithKeepAlivePeriod(TimeSpan.FromSeconds(broker.KeepAliveS))
            .WithTimeout(AnswerTimeout);
        if (broker.UserName.Length > 0)
        {
            builder = builder.WithCredentials(broker.UserName, password ?? "");
        }

        var options = builder.Build();
        ((MqttClientTcpOptions)options.ChannelOptions).BufferSize = SocketBufferBytes;
        return options;
    }

    private async Task StayConnectedAsync(CancellationToken stop)
    {
        while (!stop.IsCancellationRequested)
        {
            try
            {
                await ConnectAsync(stop);
                _backoff.Reset();
                await _state.WhenDisconnected.WaitAsync(stop);
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                return;
            }
#pragma warning disable CA1031 // whatever kept the connection from coming up, the next attempt is the answer
            catch (Exception problem)
#pragma warning restore CA1031
            {
                _log.BrokerUnreachable(problem, _clientOptions.ChannelOptions.ToString() ?? "");
            }

            await Task.Delay(_backoff.Next(), _time, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private async Task ConnectAsync(CancellationToken stop)
    {
        // Packets of the session may arrive with the connection: what acknowledges them must be there before.
        Interlocked.Exchange(ref _acknowledgement, null)?.Dispose();
        _acknowledgement = new(_log);
        var result = await _client.ConnectAsync(_clientOptions, stop);
        if (result.ResultCode != MqttClientConnectResultCode.Success)
        {
            throw new InvalidOperationException($"The broker refused the connection: {result.ResultCode} {result.ReasonString}");
        }

        var subscription = new MqttClientSubscribeOptions
        {
            TopicFilters =
            [
                Filter(SensorTopic.Samples),
                Filter(SensorTopic.State),
                Filter(SensorTopic.Clock),
            ],
        };
        var granted = await _client.SubscribeAsync(subscription, stop);
        var refused = granted.Items.FirstOrDefault(item => item.ResultCode > MqttClientSubscribeResultCode.GrantedQoS2);
        if (refused is not null)
        {
            await _client.DisconnectAsync(new MqttClientDisconnectOptions(), stop);
            throw new InvalidOperationException($"The broker refused the subscription {refused.TopicFilter.Topic}: {refused.ResultCode}");
        }

        _state.SetConnected();
        _log.BrokerConnected(result.IsSessionPresent);
    }

    private MQTTnet.Packets.MqttTopicFilter Filter(SensorTopic topic) => new()
    {
        Topic = Topics.AllSensors(_hall, topic),
        QualityOfServiceLevel = Topics.QualityOfService(topic) == 0 ? MqttQualityOfServiceLevel.AtMostOnce : MqttQualityOfServiceLevel.AtLeastOnce,
    };

    private Task NoteDisconnectedAsync(MqttClientDisconnectedEventArgs connection)
    {
        Interlocked.Exchange(ref _acknowledgement, null)?.Dispose();
        if (_state.SetDisconnected())
        {
            _log.BrokerDisconnected(connection.Reason.ToString());
        }

        return Task.CompletedTask;
    }

    private async Task ReceiveAsync(MqttApplicationMessageReceivedEventArgs received)
    {
        var message = received.ApplicationMessage;
        if (!_inbox.TryFind(message.Topic, out var sensor, out var kind))
        {
            return;
        }

        switch (kind)
        {
            case SensorTopic.Samples:
                received.AutoAcknowledge = false;
                _acknowledgement?.Add(_inbox.Push(sensor, message.Payload), received);
                break;
            case SensorTopic.State:
                _inbox.Note(sensor, message.Payload);
                break;
            case SensorTopic.Clock when _inbox.Answer(sensor, message.Payload, message.CorrelationData) is { } answer:
                await SendAsync(answer, _stop.Token);
                break;
            default:
                break;
        }
    }

    private async Task SendWaitingAsync(CancellationToken stop)
    {
        try
        {
            await foreach (var message in _outgoing.Reader.ReadAllAsync(stop))
            {
                await SendUntilTakenAsync(message, stop);
                Interlocked.Decrement(ref _waiting);
            }
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            _log.EventsLeftUnsent(Volatile.Read(ref _waiting));
        }
    }

    private async Task SendUntilTakenAsync(OutgoingMessage message, CancellationToken stop)
    {
        while (true)
        {
            try
            {
                if (message.QualityOfService > 0)
                {
                    await _state.WhenConnected.WaitAsync(stop);
                }

                var result = await _client.PublishAsync(message.ToMqtt(), stop);
                if (!result.IsSuccess)
                {
                    _log.PublishRefused(message.Topic, result.ReasonCode.ToString());
                }

                return;
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                throw;
            }
#pragma warning disable CA1031 // the library throws many types when a connection ends; each means "not taken, send again"
            catch (Exception problem)
#pragma warning restore CA1031
            {
                if (message.QualityOfService == 0)
                {
                    return;
                }

                _log.PublishAgain(message.Topic, problem.Message);
                await Task.Delay(_backoff.Next(), _time, stop);
            }
        }
    }
}
