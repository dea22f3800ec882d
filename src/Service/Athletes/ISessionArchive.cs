using Saltograph.Imu;
using Saltograph.Service.Ingest;

namespace Saltograph.Service.Athletes;

/// <summary>Keeps the packets of sessions, so that a session can go on after the death of the process.</summary>
internal interface ISessionArchive
{
    /// <summary>Sessions of an athlete that a process before has left unfinished, oldest first; each is given out once.</summary>
    IReadOnlyList<IUnfinishedSession> TakeUnfinished(AthleteId athlete);

    /// <summary>Begins to keep a session.</summary>
    /// <param name="athlete">Whose.</param>
    /// <param name="first">Arrival of its first packet.</param>
    /// <param name="stop">Gives up.</param>
    Task<IKeptSession> BeginAsync(AthleteId athlete, SampleTime first, CancellationToken stop);
}

/// <summary>A session whose packets are kept.</summary>
internal interface IKeptSession : IDisposable
{
    /// <summary>Its id; null when it is kept nowhere.</summary>
    string? Id { get; }

    /// <summary>Keeps packets; they may be acknowledged when this has ended. Waits as long as they cannot be kept.</summary>
    Task KeepAsync(IReadOnlyList<IncomingPacket> packets, CancellationToken stop);
}

/// <summary>A session that was not finished.</summary>
internal interface IUnfinishedSession
{
    /// <summary>Its id.</summary>
    string Id { get; }

    /// <summary>Its packets in the order in which they were measured.</summary>
    IEnumerable<IncomingPacket> Packets();

    /// <summary>The measuring that it was measured with; null when that is the one of now.</summary>
    IAthleteMeasuring? Begin();

    /// <summary>After the packets were read: goes on keeping it; null when it is to be finished, because it is over or was measured with other settings.</summary>
    IKeptSession? GoOn();
}

/// <summary>Keeps nothing: for measuring that nobody will want again.</summary>
internal sealed class NoArchive : ISessionArchive, IKeptSession
{
    /// <inheritdoc/>
    public string? Id => null;

    /// <inheritdoc/>
    public IReadOnlyList<IUnfinishedSession> TakeUnfinished(AthleteId athlete) => [];

    /// <inheritdoc/>
    public Task<IKeptSession> BeginAsync(AthleteId athlete, SampleTime first, CancellationToken stop) => Task.FromResult<IKeptSession>(this);

    /// <inheritdoc/>
    public Task KeepAsync(IReadOnlyList<IncomingPacket> packets, CancellationToken stop) => Task.CompletedTask;

    /// <inheritdoc/>
    public void Dispose()
    {
    }
}
