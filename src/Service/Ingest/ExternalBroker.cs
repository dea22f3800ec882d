using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Security;
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
    private readonly MqttClientFactory _clients = new();
    private readonly MqttClientOptions _clientOptions;
    private readonly Backoff _backoff;
    private readonly HallId _hall;
    private readonly int _receiveMaximum;
    private readonly WaitingMessages _waiting;
    private readonly CancellationTokenSource _stop = new();
    private readonly ConnectionState _state = new();

    private BrokerConnection? _connection;
    private bool _disposed;
    private Task _running = Task.CompletedTask;

    /// <summary>Prepares; <see cref="Start"/> connects.</summary>
    public ExternalBroker(
        ServiceOptions options, string? password, SensorInbox inbox, TimeProvider time, ILogger<ExternalBroker> log)
    {
        (_inbox, _time, _log, _hall) = (inbox, time, log, new(options.Hall));
        var broker = options.Broker.ExternalBroker;
        _clientOptions = Build(broker, _hall, password);
        _receiveMaximum = broker.ReceiveMaximum;
        _backoff = new(TimeSpan.FromSeconds(broker.ReconnectFirstS), TimeSpan.FromSeconds(broker.ReconnectLongestS), Random.Shared);
        _waiting = new(options, _state, () => Volatile.Read(ref _connection)?.Client, time, log);
    }

    /// <inheritdoc/>
    public IObservable<IncomingPacket> Packets => _inbox.Packets;

    /// <inheritdoc/>
    public bool IsReady => _state.IsConnected && Volatile.Read(ref _connection)?.Client.IsConnected == true;

    /// <summary>Ends when the connection is up and the sensors' topics are subscribed.</summary>
    public Task WhenReady => _state.WhenConnected;

    /// <summary>Begins to connect, receive and send.</summary>
    public void Start() => _running = Task.WhenAll(StayConnectedAsync(_stop.Token), _waiting.Start(_stop.Token));

    /// <inheritdoc/>
    public Task StopIntakeAsync()
    {
        _inbox.Close();
        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public Task CloseAsync() => DisposeAsync().AsTask();

    /// <inheritdoc/>
    public ValueTask SendAsync(OutgoingMessage message, CancellationToken stop) => message.QualityOfService == 0
        ? new(SendNowAsync(message, stop)) // past the queue: behind waiting events an answer to a time request would grow older than its stamps
        : _waiting.AddAsync(message, stop);

    /// <inheritdoc/>
    public Task DrainAsync(CancellationToken stop) => _waiting.DrainAsync(stop);

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _disposed, true))
        {
            return; // registered under two ports, so the container disposes it more than once
        }

        await _stop.CancelAsync();
        await _running.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        if (Interlocked.Exchange(ref _connection, null) is { } connection)
        {
            connection.Abandon();
            if (connection.Client.IsConnected)
            {
                await connection.Client.DisconnectAsync(new MqttClientDisconnectOptions(), CancellationToken.None);
            }

            connection.Dispose();
        }

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

        if (broker.AuthorityFile.Length > 0)
        {
            builder = builder.WithTlsOptions(tls => tls
                .UseTls()
                .WithTargetHost(broker.Host)
                .WithSslProtocols(System.Security.Authentication.SslProtocols.Tls12 | System.Security.Authentication.SslProtocols.Tls13)
                .WithTrustChain(BrokerTls.Authorities(broker.AuthorityFile))
                .WithRevocationMode(System.Security.Cryptography.X509Certificates.X509RevocationMode.NoCheck)); // an authority of one's own has no such list
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
        // Each connection has a client of its own, because the library tells the end of a connection at some later time:
        // told of an old one, it must change nothing about the new one. Packets of the session may arrive with the
        // connection: what acknowledges them must be there before.
        Interlocked.Exchange(ref _connection, null)?.Dispose();
        var connection = new BrokerConnection(_clients.CreateMqttClient(), new(_log), new(_receiveMaximum));
        connection.Client.ApplicationMessageReceivedAsync += received => ReceiveAsync(connection, received);
        connection.Client.DisconnectedAsync += end => NoteDisconnectedAsync(connection, end);
        Volatile.Write(ref _connection, connection);
        var result = await connection.Client.ConnectAsync(_clientOptions, stop);
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
        var granted = await connection.Client.SubscribeAsync(subscription, stop);
        var refused = granted.Items.FirstOrDefault(item => item.ResultCode > MqttClientSubscribeResultCode.GrantedQoS2);
        if (refused is not null)
        {
            await connection.Client.DisconnectAsync(new MqttClientDisconnectOptions(), stop);
            throw new InvalidOperationException($"The broker refused the subscription {refused.TopicFilter.Topic}: {refused.ResultCode}");
        }

        _state.SetConnected();
        if (!connection.Client.IsConnected)
        {
            // It ended before the line above, so its end has been told already and will not be told again.
            _state.SetDisconnected();
            throw new InvalidOperationException("The connection ended as soon as it was up.");
        }

        _log.BrokerConnected(result.IsSessionPresent);
    }

    private MQTTnet.Packets.MqttTopicFilter Filter(SensorTopic topic) => new()
    {
        Topic = Topics.AllSensors(_hall, topic),
        QualityOfServiceLevel = Topics.QualityOfService(topic) == 0 ? MqttQualityOfServiceLevel.AtMostOnce : MqttQualityOfServiceLevel.AtLeastOnce,
    };

    private Task NoteDisconnectedAsync(BrokerConnection connection, MqttClientDisconnectedEventArgs end)
    {
        connection.Abandon();
        if (ReferenceEquals(connection, Volatile.Read(ref _connection)) && _state.SetDisconnected())
        {
            _log.BrokerDisconnected(end.Reason.ToString());
        }

        return Task.CompletedTask;
    }

    private async Task ReceiveAsync(BrokerConnection connection, MqttApplicationMessageReceivedEventArgs received)
    {
        var message = received.ApplicationMessage;
        if (!_inbox.TryFind(message.Topic, out var sensor, out var kind))
        {
            return;
        }

        switch (kind)
        {
            case SensorTopic.Samples:
                // Held here: a broker that resumes a session may send more than the receive maximum (Mosquitto 2.0.11 does),
                // and a packet that finds no room further on would be lost.
                received.AutoAcknowledge = false;
                if (await connection.Window.EnterAsync())
                {
                    var packet = _inbox.Push(sensor, message.Payload);
                    _ = connection.Window.LeaveWithAsync(packet);
                    connection.Acknowledgement.Add(packet, received);
                }

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

    private async Task SendNowAsync(OutgoingMessage message, CancellationToken stop)
    {
        if (!_state.IsConnected || Volatile.Read(ref _connection) is not { Client.IsConnected: true } connection)
        {
            return;
        }

        try
        {
            await connection.Client.PublishAsync(message.ToMqtt(), stop);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            throw;
        }
#pragma warning disable CA1031 // the connection ends in the middle, in one of many types: then the message is lost, as quality of service 0 allows
        catch (Exception problem)
#pragma warning restore CA1031
        {
            _log.MomentLost(message.Topic, problem.Message);
        }
    }
}
