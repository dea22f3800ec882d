namespace Saltograph.Service.Facts;

/// <summary>Something that wants to know what was measured: a publisher, a log, a store, a screen.</summary>
internal interface IFactSink
{
    /// <summary>Name in logs and counters.</summary>
    string Name { get; }

    /// <summary>
    /// Whether the measuring waits for this sink when its queue is full (and with it the senders); false: the sink misses
    /// the fact, which is counted.
    /// </summary>
    bool MustMissNothing { get; }

    /// <summary>Takes a fact. Called one at a time, in the order of each athlete. May throw: it then gets the next fact.</summary>
    ValueTask EmitAsync(Fact fact, CancellationToken stop);
}
