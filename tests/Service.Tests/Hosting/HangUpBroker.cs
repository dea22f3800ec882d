using System.Net;
using System.Net.Sockets;

namespace Saltograph.Service.Tests.Hosting;

/// <summary>
/// A broker of the test, just enough of MQTT 5: it accepts a connection and the subscription, and in the same breath says
/// DISCONNECT (section 3.14) and hangs up; from a given connection on it stays.
/// </summary>
internal sealed class HangUpBroker : IAsyncDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _stop = new();
    private readonly TaskCompletionSource _stays = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly Task _running;

    public HangUpBroker(int hangUps)
    {
        _listener.Start();
        _running = RunAsync(hangUps);
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    /// <summary>Ends when a connection has outlived the hang-ups.</summary>
    public Task Stays => _stays.Task;

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _listener.Dispose();
        await _running.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }

    private async Task RunAsync(int hangUps)
    {
        for (var connection = 0; ; connection++)
        {
            using var client = await _listener.AcceptTcpClientAsync(_stop.Token);
            await using var stream = client.GetStream();
            await ReadPacketAsync(stream); // CONNECT
            await stream.WriteAsync(new byte[] { 0x20, 3, 0, 0, 0 }, _stop.Token); // CONNACK, success
            var subscribe = await ReadPacketAsync(stream);
            byte[] granted = [0x90, 6, subscribe[0], subscribe[1], 0, 1, 1, 0]; // SUBACK: its id, no properties, three reasons
            if (connection < hangUps)
            {
                await stream.WriteAsync((byte[])[.. granted, 0xE0, 2, 0x8B, 0], _stop.Token); // DISCONNECT: the server shuts down
                continue;
            }

            await stream.WriteAsync(granted, _stop.Token);
            _stays.TrySetResult();
            await Task.Delay(Timeout.Infinite, _stop.Token);
        }
    }

    private async Task<byte[]> ReadPacketAsync(NetworkStream stream)
    {
        var one = new byte[1];
        await stream.ReadExactlyAsync(one, _stop.Token);
        var (length, shift) = (0, 0);
        do
        {
            await stream.ReadExactlyAsync(one, _stop.Token);
            length |= (one[0] & 0x7F) << shift;
            shift += 7;
        }
        while (one[0] >= 0x80);
        var rest = new byte[length];
        await stream.ReadExactlyAsync(rest, _stop.Token);
        return rest;
    }
}
