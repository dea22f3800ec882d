using System.Buffers;
using System.Collections.Concurrent;
using MQTTnet;
using MQTTnet.Protocol;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Wire.Events;

namespace Saltograph.Service.Tests.Durability;

/// <summary>A subscriber that keeps its session and comes back whenever the connection ends; notes the ids of jumps.</summary>
internal sealed class PersistentSubscriber : IAsyncDisposable
{
    private static readonly TimeSpan Retry = TimeSpan.FromMilliseconds(50);

    private readonly ConcurrentDictionary<string, int> _ids = new(StringComparer.Ordinal);
    private readonly CancellationTokenSource _stop = new();
    private readonly Task _running;

    private PersistentSubscriber(int port) => _running = Task.Run(() => StayAsync(port));

    /// <summary>How often each id came.</summary>
    public IReadOnlyDictionary<string, int> Ids => _ids;

    public static PersistentSubscriber Start(int port) => new(port);

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }

    private async Task StayAsync(int port)
    {
        var options = new MqttClientOptionsBuilder()
            .WithTcpServer("127.0.0.1", port).WithClientId("coach").WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500)
            .WithCleanStart(false).WithSessionExpiryInterval(3600).Build();
        while (!_stop.IsCancellationRequested)
        {
            using var client = new MqttClientFactory().CreateMqttClient();
            var ended = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            client.DisconnectedAsync += _ =>
            {
                ended.TrySetResult();
                return Task.CompletedTask;
            };
            client.ApplicationMessageReceivedAsync += message =>
            {
                if (CloudEventReader.TryRead(message.ApplicationMessage.Payload.ToArray(), out var found).IsAccepted)
                {
                    _ids.AddOrUpdate(found!.Attributes.Id, 1, (_, count) => count + 1);
                }

                return Task.CompletedTask;
            };
            try
            {
                await client.ConnectAsync(options, _stop.Token);
                await client.SubscribeAsync(TestHall.Jumps("+"), MqttQualityOfServiceLevel.AtLeastOnce, _stop.Token);
                await ended.Task.WaitAsync(_stop.Token);
            }
#pragma warning disable CA1031 // the broker is killed at any moment: each failure means "again"
            catch (Exception)
#pragma warning restore CA1031
            {
                await Task.Delay(Retry, _stop.Token).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
    }
}
