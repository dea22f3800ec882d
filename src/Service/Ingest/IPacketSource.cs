namespace Saltograph.Service.Ingest;

/// <summary>Where packets come from: the broker inside the service, or a client of one elsewhere.</summary>
/// <remarks>
/// A source hands over a packet with its acknowledgement and goes on; it tells the sender "taken" only when
/// <see cref="IncomingPacket.Take"/> was called. Between the two it holds a bounded number of packets and lets the
/// senders wait. Observers are called one at a time and must neither block nor throw.
/// </remarks>
internal interface IPacketSource
{
    /// <summary>The packets, in order for each sensor. Completes after <see cref="StopIntakeAsync"/>.</summary>
    IObservable<IncomingPacket> Packets { get; }

    /// <summary>Whether packets can arrive now.</summary>
    bool IsReady { get; }

    /// <summary>Takes no more packets; what arrives from now on stays unacknowledged with its sender or broker.</summary>
    Task StopIntakeAsync();

    /// <summary>Ends the connections, after everything has been drained.</summary>
    Task CloseAsync();
}

/// <summary>Where messages go to.</summary>
internal interface IMessageOut
{
    /// <summary>
    /// Accepts a message for sending. Quality of service 1 waits while too many messages wait already, and is then sent
    /// until the broker has it, through any number of connections; quality of service 0 is dropped when it cannot leave now.
    /// </summary>
    ValueTask SendAsync(OutgoingMessage message, CancellationToken stop);

    /// <summary>Waits until everything accepted is with the broker, and with the embedded broker on its way to the subscribers.</summary>
    Task DrainAsync(CancellationToken stop);
}

/// <summary>A message to publish.</summary>
/// <param name="Topic">Topic.</param>
/// <param name="Payload">Bytes; must not change afterwards.</param>
/// <param name="ContentType">Media type.</param>
/// <param name="QualityOfService">0 or 1.</param>
/// <param name="Retain">Whether the broker keeps it for later subscribers.</param>
/// <param name="CorrelationData">Echo of a request's; null for none.</param>
/// <param name="Finished">Called once when there is nothing more to do: true when the broker has it, false when it will not take it. Null for nobody.</param>
internal sealed record OutgoingMessage(
    string Topic,
    byte[] Payload,
    string ContentType,
    int QualityOfService,
    bool Retain,
    byte[]? CorrelationData = null,
    Action<bool>? Finished = null);
