using System.Collections.Concurrent;
using MQTTnet.Packets;
using MQTTnet.Protocol;
using MQTTnet.Server;

namespace Saltograph.Service.Ingest;

/// <summary>
/// What the embedded broker has handed to connected subscribers and they have not acknowledged yet: a stop must wait for
/// it, or it would close a connection behind the last events. The library knows it but does not tell.
/// </summary>
internal sealed class OpenDeliveries
{
    private readonly ConcurrentDictionary<(string Client, ushort Packet), byte> _open = new();

    /// <summary>Whether everything handed over was acknowledged.</summary>
    public bool IsEmpty => _open.IsEmpty;

    /// <summary>Begins to watch a broker.</summary>
    public void Watch(MqttServer server)
    {
        server.InterceptingOutboundPacketAsync += outgoing =>
        {
            if (outgoing.Packet is MqttPublishPacket { QualityOfServiceLevel: not MqttQualityOfServiceLevel.AtMostOnce } publish)
            {
                _open.TryAdd((outgoing.ClientId, publish.PacketIdentifier), 0);
            }

            return Task.CompletedTask;
        };
        server.ClientAcknowledgedPublishPacketAsync += acknowledged =>
        {
            _open.TryRemove((acknowledged.ClientId, acknowledged.PublishPacket.PacketIdentifier), out _);
            return Task.CompletedTask;
        };
        server.ClientDisconnectedAsync += disconnected =>
        {
            // What is left belongs to the session now, and is sent again with the next connection.
            foreach (var delivery in _open.Keys.Where(delivery => delivery.Client == disconnected.ClientId))
            {
                _open.TryRemove(delivery, out _);
            }

            return Task.CompletedTask;
        };
    }
}
