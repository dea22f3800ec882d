using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Athletes;

/// <summary>Measures one athlete: packets in, facts out. Called by one thread at a time.</summary>
internal interface IAthleteMeasuring
{
    /// <summary>Takes a packet; adds what it made known.</summary>
    void Push(IncomingPacket packet, List<Fact> facts);

    /// <summary>No more packets come; adds what was still open.</summary>
    void Complete(List<Fact> facts);
}
