using System.Threading.Channels;
using MQTTnet;
using Saltograph.Service.Configuration;

namespace Saltograph.Service.Ingest;

/// <summary>Messages for a broker elsewhere that must arrive: a bounded queue, and one sender that tries each until the broker has it.</summary>
internal sealed class WaitingMessages
{
    private readonly ConnectionState _state;
    private readonly Func<IMqttClient?> _client;
    private readonly TimeProvider _time;
    private readonly ILogger _log;
    private readonly Backoff _backoff;
    private readonly Channel<OutgoingMessage> _queue;
    private int _waiting;
    private Task _sending = Task.CompletedTask;

    /// <summary>Prepares; <see cref="Start"/> sends.</summary>
    /// <param name="options">How many may wait, and how long between two attempts.</param>
    /// <param name="state">Whether the connection is up.</param>
    /// <param name="client">The client of the connection; null when there is none.</param>
    /// <param name="time">The clock of the waits.</param>
    /// <param name="log">Tells what was not sent.</param>
    public WaitingMessages(ServiceOptions options, ConnectionState state, Func<IMqttClient?> client, TimeProvider time, ILogger log)
    {
        (_state, _client, _time, _log) = (state, client, time, log);
        var broker = options.Broker.ExternalBroker;
        _backoff = new(TimeSpan.FromSeconds(broker.ReconnectFirstS), TimeSpan.FromSeconds(broker.ReconnectLongestS), Random.Shared);
        _queue = Channel.CreateBounded<OutgoingMessage>(new BoundedChannelOptions(options.Limits.WaitingEvents) { SingleReader = true });
    }

    /// <summary>Begins to send.</summary>
    /// <param name="stop">Ends it at once.</param>
    /// <returns>Ends when everything was sent after <see cref="DrainAsync"/>, or with the stop.</returns>
    public Task Start(CancellationToken stop) => _sending = SendAsync(stop);

    /// <summary>Takes a message; waits for room.</summary>
    public async ValueTask AddAsync(OutgoingMessage message, CancellationToken stop)
    {
        Interlocked.Increment(ref _waiting);
        try
        {
            await _queue.Writer.WriteAsync(message, stop);
        }
        catch
        {
            Interlocked.Decrement(ref _waiting);
            throw;
        }
    }

    /// <summary>No more messages come; ends when the broker has all of them.</summary>
    public Task DrainAsync(CancellationToken stop)
    {
        _queue.Writer.TryComplete();
        return _sending.WaitAsync(stop);
    }

    private async Task SendAsync(CancellationToken stop)
    {
        try
        {
            await foreach (var message in _queue.Reader.ReadAllAsync(stop))
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
                await _state.WhenConnected.WaitAsync(stop);
                var client = _client() ?? throw new InvalidOperationException("The connection ended.");
                var result = await client.PublishAsync(message.ToMqtt(), stop);
                if (result.IsSuccess || !MayPass(result.ReasonCode))
                {
                    if (!result.IsSuccess)
                    {
                        _log.PublishRefused(message.Topic, result.ReasonCode.ToString());
                    }

                    _backoff.Reset();
                    message.Finished?.Invoke(result.IsSuccess);
                    return;
                }

                _log.PublishAgain(message.Topic, result.ReasonCode.ToString());
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                throw;
            }
#pragma warning disable CA1031 // the library throws many types when a connection ends; each means "not taken, send again"
            catch (Exception problem)
#pragma warning restore CA1031
            {
                _log.PublishAgain(message.Topic, problem.Message);
            }

            await Task.Delay(_backoff.Next(), _time, stop);
        }
    }

    // MQTT 5 section 3.4.2.1: these say something of the broker's state now; the others of the message or of our rights.
    private static bool MayPass(MqttClientPublishReasonCode reason) => reason
        is MqttClientPublishReasonCode.QuotaExceeded
        or MqttClientPublishReasonCode.UnspecifiedError
        or MqttClientPublishReasonCode.ImplementationSpecificError;
}
