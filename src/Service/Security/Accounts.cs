using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Security;

/// <summary>File <c>credentials.json</c>: who may connect to the broker. Written by the verbs <c>enrol</c> and <c>revoke</c>.</summary>
internal sealed record AccountOptions
{
    /// <summary>One entry for each account; default none.</summary>
    public IReadOnlyList<Account> Accounts { get; init; } = [];
}

/// <summary>Somebody who may connect to the broker.</summary>
internal sealed record Account
{
    /// <summary>A sensor: its own topics.</summary>
    public const string Sensor = "sensor";

    /// <summary>A program of the staff: reads what is told of athletes.</summary>
    public const string Reader = "reader";

    /// <summary>The service itself, at a broker elsewhere.</summary>
    public const string Service = "service";

    /// <summary>User name and client id, of a sensor its id in the topics; 1 to 32 characters a-z, 0-9 or -; no default.</summary>
    public required string Name { get; init; }

    /// <summary><c>sensor</c>, <c>reader</c> or <c>service</c>; no default.</summary>
    public required string Kind { get; init; }

    /// <summary>Salted hash of the secret; empty: only a client certificate with the name as its common name lets in. No default.</summary>
    public required string Hash { get; init; }
}

/// <summary>The file of the accounts.</summary>
internal static class AccountFile
{
    /// <summary>Its name in the folder of the configuration.</summary>
    public const string Name = "credentials.json";

    private static readonly JsonSerializerOptions Indented = new(JsonSerializerDefaults.Web) { WriteIndented = true };

    /// <summary>The accounts of a file; none when there is no file.</summary>
    /// <param name="path">The file.</param>
    /// <param name="accounts">By name; null when there is a fault.</param>
    /// <returns>Every fault.</returns>
    public static IReadOnlyList<InputFault> Read(string path, out IReadOnlyList<Account>? accounts)
    {
        accounts = [];
        if (!File.Exists(path))
        {
            return [];
        }

        if (ConfigurationFile.Read<AccountOptions>(path, out var options) is { } fault)
        {
            accounts = null;
            return [fault];
        }

        var faults = Faults(options!, path).ToList();
        accounts = faults.Count == 0 ? options!.Accounts : null;
        return faults;
    }

    /// <summary>Writes a file that only its owner can read, whole or not at all.</summary>
    public static void Write(string path, IReadOnlyList<Account> accounts) =>
        PrivateFile.Write(path, JsonSerializer.Serialize(new AccountOptions { Accounts = accounts }, Indented) + "\n");

    private static IEnumerable<InputFault> Faults(AccountOptions options, string file)
    {
        var names = new HashSet<string>(StringComparer.Ordinal);
        for (var i = 0; i < options.Accounts.Count; i++)
        {
            var (account, key) = (options.Accounts[i], $"accounts[{i}]");
            if ((Account?)account is null)
            {
                yield return new(file, "null", "an object with name, kind and hash", null, key);
                continue;
            }

            if (!IdText.IsValid(account.Name))
            {
                yield return new(file, $"'{account.Name}'", IdText.Allowed, null, $"{key}.name");
            }

            if (account.Kind is not (Account.Sensor or Account.Reader or Account.Service))
            {
                yield return new(file, $"'{account.Kind}'", "sensor, reader or service", null, $"{key}.kind");
            }

            if (account.Hash.Length > 0 && !SecretHash.IsValid(account.Hash))
            {
                yield return new(file, "something that is no hash", "what the verb enrol writes", null, $"{key}.hash");
            }

            if (!names.Add(account.Name))
            {
                yield return new(file, $"'{account.Name}' a second time", "each account once", null, $"{key}.name");
            }
        }
    }
}
