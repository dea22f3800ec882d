using System.Text.Json;
using System.Threading.Channels;
using MQTTnet;
using MQTTnet.Exceptions;
using MQTTnet.Protocol;
using Saltograph.Imu;
using Saltograph.Service.Ingest;
using Saltograph.Wire;
using Saltograph.Wire.Packets;

namespace Saltograph.Service.Simulated;

/// <summary>A packet and when it arrives.</summary>
/// <param name="TimeS">Arrival, s since the start of the simulation.</param>
/// <param name="Sensor">Who sends it.</param>
/// <param name="Bytes">The packet.</param>
internal readonly record struct TimedPacket(double TimeS, SensorId Sensor, ReadOnlyMemory<byte> Bytes);

/// <summary>Publishes simulated packets as sensors do: one connection each, a retained state, QoS 1.</summary>
internal sealed class SensorTraffic : IAsyncDisposable
{
    // What one sensor may have on the way; a slow broker then holds the simulation up instead of filling the memory.
    private const int LongestWindow = 16;
    private const int PacketsAhead = 1000;
    private const double LeadS = 2;
    private const double ShortestWaitS = 0.001; // what a timer can tell

    private readonly SensorDoor _door;
    private readonly HallId _hall;
    private readonly TimeProvider _time;
    private readonly Dictionary<SensorId, Connection> _connections = [];

    /// <summary>Prepares; <see cref="ConnectAsync"/> first.</summary>
    public SensorTraffic(SensorDoor door, HallId hall, TimeProvider time) => (_door, _hall, _time) = (door, hall, time);

    /// <summary>Connects the sensors, before any packet: connecting takes longer than a packet may be late.</summary>
    public async Task ConnectAsync(IEnumerable<SensorId> sensors, CancellationToken stop)
    {
        foreach (var sensor in sensors)
        {
            _connections.Add(sensor, await ConnectAsync(sensor, stop));
        }
    }

    /// <summary>Publishes all packets of connected sensors, each at its time.</summary>
    /// <param name="packets">Earliest first, made for a hall clock at time 0; worked out ahead, in the background.</param>
    /// <param name="speed">Times real time, above 0.</param>
    /// <param name="stop">Ends it early.</param>
    public async Task PlayAsync(Func<SampleTime, IEnumerable<TimedPacket>> packets, double speed, CancellationToken stop)
    {
        // Working out a packet takes longer at first, and now and then: that must not look like a slow network.
        var start = HallClock.Now(_time).PlusSeconds(LeadS);
        var ahead = Channel.CreateBounded<TimedPacket>(new BoundedChannelOptions(PacketsAhead) { SingleReader = true, SingleWriter = true });
        var filled = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        using var ended = CancellationTokenSource.CreateLinkedTokenSource(stop);
        var working = Task.Run(() => WorkAheadAsync(packets(start), ahead.Writer, filled, ended.Token), stop);
        await filled.Task.WaitAsync(stop);
        try
        {
            await PublishAsync(ahead.Reader, start, speed, stop);
        }
        finally
        {
            await ended.CancelAsync();
            await working.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }

        await working;
        foreach (var connection in _connections.Values)
        {
            await connection.FinishAsync();
        }
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        foreach (var connection in _connections.Values)
        {
            await connection.DisposeAsync();
        }
    }

    private static async Task WorkAheadAsync(
        IEnumerable<TimedPacket> packets, ChannelWriter<TimedPacket> ahead, TaskCompletionSource filled, CancellationToken ended)
    {
        try
        {
            var count = 0;
            foreach (var packet in packets)
            {
                await ahead.WriteAsync(packet, ended);
                if (++count == PacketsAhead / 2)
                {
                    filled.TrySetResult();
                }
            }
        }
        finally
        {
            filled.TrySetResult();
            ahead.TryComplete();
        }
    }

    private async Task PublishAsync(ChannelReader<TimedPacket> packets, SampleTime start, double speed, CancellationToken stop)
    {
        await foreach (var packet in packets.ReadAllAsync(stop))
        {
            var waitS = (packet.TimeS / speed) - (HallClock.Now(_time) - start);
            if (waitS > ShortestWaitS)
            {
                await Task.Delay(TimeSpan.FromSeconds(waitS), _time, stop);
            }

            await _connections[packet.Sensor].SendAsync(packet.Bytes, stop);
        }
    }

    private async Task<Connection> ConnectAsync(SensorId sensor, CancellationToken stop)
    {
        var state = Topics.Of(_hall, sensor, SensorTopic.State);
        var client = new MqttClientFactory().CreateMqttClient();
        var options = _door.Options(sensor)
            .WithWillTopic(state)
            .WithWillPayload(State(online: false))
            .WithWillRetain()
            .WithWillQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .Build();
        var answer = await client.ConnectAsync(options, stop);
        if (answer.ResultCode != MqttClientConnectResultCode.Success)
        {
            client.Dispose();
            throw new MqttCommunicationException($"the broker lets {sensor} not in: {answer.ResultCode}");
        }

        await client.PublishAsync(Message(state, State(online: true), "application/json", retain: true), stop);
        return new(client, state, Topics.Of(_hall, sensor, SensorTopic.Samples));
    }

    private static byte[] State(bool online)
    {
        using var bytes = new MemoryStream();
        using (var json = new Utf8JsonWriter(bytes))
        {
            new SensorState { Online = online, Firmware = "simulated" }.Write(json);
        }

        return bytes.ToArray();
    }

    private static MqttApplicationMessage Message(string topic, ReadOnlyMemory<byte> payload, string contentType, bool retain) => new()
    {
        Topic = topic,
        Payload = new(payload),
        ContentType = contentType,
        QualityOfServiceLevel = MqttQualityOfServiceLevel.AtLeastOnce,
        Retain = retain,
    };

    private sealed class Connection(IMqttClient client, string state, string samples) : IAsyncDisposable
    {
        private readonly Queue<Task> _open = new();

        public async Task SendAsync(ReadOnlyMemory<byte> packet, CancellationToken stop)
        {
            while (_open.Count > 0 && (_open.Count >= LongestWindow || _open.Peek().IsCompleted))
            {
                await _open.Dequeue();
            }

            _open.Enqueue(client.PublishAsync(Message(samples, packet, PacketFormat.ContentType, retain: false), stop));
        }

        public async Task FinishAsync()
        {
            while (_open.TryDequeue(out var sending))
            {
                await sending;
            }
        }

        public async ValueTask DisposeAsync()
        {
            try
            {
                await FinishAsync();
                if (client.IsConnected)
                {
                    await client.PublishAsync(Message(state, State(online: false), "application/json", retain: true), CancellationToken.None);
                    await client.DisconnectAsync(new MqttClientDisconnectOptions(), CancellationToken.None);
                }
            }
            catch (Exception problem) when (problem is MqttCommunicationException or OperationCanceledException)
            {
                // The broker went before its sensors: there is nobody left to say good-bye to.
            }
            finally
            {
                client.Dispose();
            }
        }
    }
}
