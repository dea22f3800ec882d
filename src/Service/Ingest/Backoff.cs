namespace Saltograph.Service.Ingest;

/// <summary>Waits between attempts: doubling from the first to the longest, each cut by a random part of up to a half.</summary>
/// <remarks>The random part keeps the clients of a broker that comes back from arriving all at once.</remarks>
internal sealed class Backoff(TimeSpan first, TimeSpan longest, Random random)
{
    private TimeSpan? _next;

    /// <summary>The next wait.</summary>
    public TimeSpan Next()
    {
        var whole = _next ?? first;
        _next = whole * 2 < longest ? whole * 2 : longest;
        return whole * (1 - (random.NextDouble() / 2));
    }

    /// <summary>Begins again after a success.</summary>
    public void Reset() => _next = null;
}
