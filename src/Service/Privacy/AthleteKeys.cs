using System.Collections.Concurrent;
using System.Security.Cryptography;
using Microsoft.AspNetCore.DataProtection;
using Saltograph.Service.Ingest;
using Saltograph.Store;
using Saltograph.Store.Recordings;

namespace Saltograph.Service.Privacy;

/// <summary>A key for each athlete, with which her recordings are sealed; kept sealed itself. Erasing it makes every copy of her recordings unreadable.</summary>
internal sealed class AthleteKeys(HallStore store, IDataProtectionProvider keys, TimeProvider time)
{
    private readonly IDataProtector _seal = keys.CreateProtector("saltograph.recordings.v1");
    private readonly ConcurrentDictionary<string, byte[]> _known = new(StringComparer.Ordinal);

    /// <summary>The key of an athlete; null when there is none, or when the keys that sealed it are gone.</summary>
    public async Task<byte[]?> FindAsync(string athlete, CancellationToken stop)
    {
        if (_known.TryGetValue(athlete, out var known))
        {
            return known;
        }

        if (await store.People.SealedKeyAsync(athlete, stop) is not { } text)
        {
            return null;
        }

        try
        {
            return _known.GetOrAdd(athlete, _seal.Unprotect(Convert.FromBase64String(text)));
        }
        catch (CryptographicException)
        {
            return null;
        }
    }

    /// <summary>The key of an athlete; made when there is none.</summary>
    /// <exception cref="StoreException">There is one, but the keys that sealed it are gone.</exception>
    public async Task<byte[]> FindOrMakeAsync(string athlete, CancellationToken stop)
    {
        if (await FindAsync(athlete, stop) is { } found)
        {
            return found;
        }

        var fresh = RandomNumberGenerator.GetBytes(RecordingSeal.KeyBytes);
        await store.WriteAsync(transaction => transaction.AddKeyAsync(athlete, Convert.ToBase64String(_seal.Protect(fresh)), HallClock.Now(time).Microseconds), stop);
        return await FindAsync(athlete, stop) ?? throw new StoreException($"The key of the recordings of {athlete} cannot be opened: the keys in people.keyFolder are not those that sealed it.");
    }

    /// <summary>Forgets a key that was erased.</summary>
    public void Forget(string athlete) => _known.TryRemove(athlete, out _);
}
