using Saltograph.Service.Recordings;

namespace Saltograph.Service.Configuration;

/// <summary>Everything that is configured.</summary>
/// <param name="Service">File <c>service.json</c>.</param>
/// <param name="Roster">File <c>roster.json</c>.</param>
/// <param name="Thresholds">File <c>thresholds.json</c>.</param>
/// <param name="BrokerPassword">Password at the external broker; never in a file.</param>
/// <param name="StorePassword">Password at the database server; never in a file.</param>
internal sealed record HallConfiguration(
    ServiceOptions Service, RosterOptions Roster, ThresholdOptions Thresholds, string? BrokerPassword = null, string? StorePassword = null)
{
    /// <summary>File with the accounts at the embedded broker; null: there are none.</summary>
    public string? Credentials { get; init; }

    /// <summary>Secret of the webhook; never in a file.</summary>
    public string? WebhookSecret { get; init; } = Environment.GetEnvironmentVariable(ConfigurationFolder.WebhookSecretVariable);

    /// <summary>Password at the mail server; never in a file.</summary>
    public string? MailPassword { get; init; } = Environment.GetEnvironmentVariable(ConfigurationFolder.MailPasswordVariable);

    /// <summary>File <c>warnings.json</c>: the rules of the warnings; those that are proposed when there is no file.</summary>
    public Saltograph.Load.WarningRules Warnings { get; init; } = Saltograph.Load.WarningRules.Proposed;

    /// <summary>The same with every path of a file or folder taken from a folder on.</summary>
    public HallConfiguration From(string folder) => this with
    {
        Service = Service with
        {
            Store = Service.Store with { File = Path.GetFullPath(Service.Store.File, Path.GetFullPath(folder)) },
            Broker = Service.Broker with
            {
                EmbeddedBroker = Service.Broker.EmbeddedBroker with
                {
                    CertificateFile = Full(Service.Broker.EmbeddedBroker.CertificateFile, folder),
                    CertificateKeyFile = Full(Service.Broker.EmbeddedBroker.CertificateKeyFile, folder),
                    ClientAuthorityFile = Full(Service.Broker.EmbeddedBroker.ClientAuthorityFile, folder),
                },
                ExternalBroker = Service.Broker.ExternalBroker with { AuthorityFile = Full(Service.Broker.ExternalBroker.AuthorityFile, folder) },
            },
            Http = Service.Http with { CertificateFile = Full(Service.Http.CertificateFile, folder), CertificateKeyFile = Full(Service.Http.CertificateKeyFile, folder) },
            People = Service.People with
            {
                KeyFolder = Path.GetFullPath(Service.People.KeyFolder, Path.GetFullPath(folder)),
                KeyCertificateFile = Full(Service.People.KeyCertificateFile, folder),
            },
            Tell = Service.Tell with { NotToldFile = Path.GetFullPath(Service.Tell.NotToldFile, Path.GetFullPath(folder)) },
            Recordings = Service.Recordings with { Folder = Path.GetFullPath(Service.Recordings.Folder, Path.GetFullPath(folder)) },
        },
        Credentials = Path.GetFullPath(Security.AccountFile.Name, Path.GetFullPath(folder)),
    };

    private static string Full(string file, string folder) => file.Length == 0 ? "" : Path.GetFullPath(file, Path.GetFullPath(folder));
}

/// <summary>Reads the configuration files of a folder.</summary>
internal static class ConfigurationFolder
{
    /// <summary>Environment variable with the password at the external broker.</summary>
    public const string PasswordVariable = "SALTOGRAPH_BROKER_PASSWORD";

    /// <summary>Environment variable with the password at the database server.</summary>
    public const string StorePasswordVariable = "SALTOGRAPH_STORE_PASSWORD";

    /// <summary>Environment variables with the secret of the webhook and the password at the mail server.</summary>
    public const string WebhookSecretVariable = "SALTOGRAPH_WEBHOOK_SECRET", MailPasswordVariable = "SALTOGRAPH_MAIL_PASSWORD";

    /// <summary>Names of the files.</summary>
    public const string ServiceFile = "service.json", RosterFile = "roster.json", ThresholdsFile = "thresholds.json", WarningsFile = "warnings.json";

    /// <summary>Reads and checks all of it.</summary>
    /// <param name="folder">The folder.</param>
    /// <param name="brokerPassword">Password at the external broker, or null.</param>
    /// <param name="configuration">The configuration; null when there is any fault.</param>
    /// <returns>Every fault.</returns>
    public static IReadOnlyList<InputFault> Load(string folder, string? brokerPassword, out HallConfiguration? configuration)
    {
        var faults = new List<InputFault>();
        var service = Read<ServiceOptions>(folder, ServiceFile, faults, ServiceOptionsRules.Faults);
        var roster = Read<RosterOptions>(folder, RosterFile, faults, Roster.Faults);
        var thresholds = Read<ThresholdOptions>(folder, ThresholdsFile, faults, (options, file) => options.Faults(file));
        faults.AddRange(Security.AccountFile.Read(Path.Combine(folder, Security.AccountFile.Name), out _));
        faults.AddRange(WarningRulesFile.Read(Path.Combine(folder, WarningsFile), out var warnings));
        if (service?.Tell.WebhookUrl.Length > 0 && string.IsNullOrEmpty(Environment.GetEnvironmentVariable(WebhookSecretVariable)))
        {
            faults.Add(new(WebhookSecretVariable, "nothing", "a secret in this environment variable, when there is tell.webhookUrl"));
        }

        configuration = faults.Count == 0 ? new(service!, roster!, thresholds!, brokerPassword) { Warnings = warnings! } : null;
        return faults;
    }

    private static T? Read<T>(string folder, string name, List<InputFault> faults, Func<T, string, IEnumerable<InputFault>> check)
        where T : class
    {
        var path = Path.Combine(folder, name);
        if (ConfigurationFile.Read<T>(path, out var options) is { } fault)
        {
            faults.Add(fault);
        }
        else
        {
            faults.AddRange(check(options!, path));
        }

        return options;
    }
}
