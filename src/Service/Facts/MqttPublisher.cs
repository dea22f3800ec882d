using Saltograph.Service.Ingest;

namespace Saltograph.Service.Facts;

/// <summary>Publishes what is worth something now only: the live summaries. Events go by way of the store.</summary>
internal sealed class MqttPublisher(EventMessages messages, IMessageOut broker) : IFactSink
{
    /// <inheritdoc/>
    public string Name => "mqtt";

    /// <inheritdoc/>
    public bool MustMissNothing => false;

    /// <inheritdoc/>
    public ValueTask EmitAsync(Fact fact, CancellationToken stop) =>
        fact is LiveSummary && messages.Of(fact) is { } message ? broker.SendAsync(message, stop) : ValueTask.CompletedTask;
}
