using System.Security.Cryptography;
using Microsoft.AspNetCore.DataProtection;
using Saltograph.Service.Ingest;
using Saltograph.Service.People;
using Saltograph.Store;

namespace Saltograph.Service.Privacy;

/// <summary>The one table that says who a pseudonym is. It holds sealed texts; the keys are in a folder of their own (<c>people.keyFolder</c>).</summary>
internal sealed class AthleteNames(HallStore store, PeopleBook book, IDataProtectionProvider keys, TimeProvider time)
{
    /// <summary>Longest name, characters.</summary>
    public const int Longest = 200;

    private readonly IDataProtector _seal = keys.CreateProtector("saltograph.names.v1");

    /// <summary>The name; null when none was entered, or when the keys it was sealed with are gone.</summary>
    public async Task<string?> FindAsync(string athlete, CancellationToken stop)
    {
        if (await store.People.SealedNameAsync(athlete, stop) is not { } text)
        {
            return null;
        }

        try
        {
            return _seal.Unprotect(text);
        }
        catch (CryptographicException)
        {
            return null;
        }
    }

    /// <summary>Enters a name. The audit trail says that one was entered, not which.</summary>
    public Task PutAsync(string who, string athlete, string name, CancellationToken stop) => book.ChangeAsync(
        async transaction =>
        {
            await transaction.AddAuditAsync(HallClock.Now(time).Microseconds, who, "put-name", athlete);
            await transaction.PutNameAsync(athlete, _seal.Protect(name));
            return true;
        },
        stop);
}
