using System.Collections.Frozen;

namespace Saltograph.Service.Security;

/// <summary>The accounts as they are in their file now.</summary>
/// <param name="path">The file; null: nobody has an account.</param>
/// <param name="log">Tells when the file cannot be used; then the accounts before stay.</param>
internal sealed class AccountBook(string? path, ILogger<AccountBook> log)
{
    private readonly Lock _reading = new();
    private volatile FrozenDictionary<string, Account> _accounts = FrozenDictionary<string, Account>.Empty;
    private (DateTime Written, long Length)? _read;

    /// <summary>Looks whether the file has changed, and takes it over.</summary>
    /// <returns>Whether the accounts may be others now.</returns>
    public bool Refresh()
    {
        if (path is null)
        {
            return false;
        }

        lock (_reading)
        {
            var file = new FileInfo(path);
            var now = file.Exists ? (file.LastWriteTimeUtc, file.Length) : default;
            if (_read == now)
            {
                return false;
            }

            _read = now;
            if (AccountFile.Read(path, out var accounts) is { Count: > 0 } faults)
            {
                log.AccountsNotRead(faults[0].ToString());
                return false;
            }

            _accounts = accounts!.ToFrozenDictionary(account => account.Name, StringComparer.Ordinal);
            log.AccountsRead(_accounts.Count);
            return true;
        }
    }

    /// <summary>The account of a name; null when there is none.</summary>
    public Account? Find(string name) => _accounts.GetValueOrDefault(name);
}
