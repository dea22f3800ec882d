using MQTTnet;

namespace Saltograph.Service.Ingest;

/// <summary>One connection to a broker elsewhere: its client, what acknowledges on it, and the packets that are in work.</summary>
internal sealed record BrokerConnection(IMqttClient Client, InOrderAcknowledgement Acknowledgement, PacketWindow Window) : IDisposable
{
    /// <summary>It ended: nothing more is taken from it or acknowledged on it.</summary>
    public void Abandon()
    {
        Window.Close();
        Acknowledgement.Dispose();
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        Abandon();
        Client.Dispose();
    }
}
