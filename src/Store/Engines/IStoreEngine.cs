using System.Data.Common;

namespace Saltograph.Store.Engines;

/// <summary>What differs between the databases.</summary>
internal interface IStoreEngine : IAsyncDisposable
{
    /// <summary>Brings the schema to this version; does nothing when it is there.</summary>
    void Migrate();

    /// <summary>An open connection, from a pool.</summary>
    Task<DbConnection> OpenAsync(CancellationToken stop);

    /// <summary>What was deleted is gone from the files too, not only from the tables.</summary>
    Task ScrubAsync(CancellationToken stop);

    /// <summary>Keeps a second writing process out, for as long as this object lives.</summary>
    Task LockAsync(CancellationToken stop);
}
