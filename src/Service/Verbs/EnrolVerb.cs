using System.CommandLine;
using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Service.Configuration;
using Saltograph.Service.Recordings;
using Saltograph.Service.Security;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>enrol</c>: lets a sensor, or a program that reads, into the broker.</summary>
internal static class EnrolVerb
{
    private static readonly JsonSerializerOptions Indented = new(JsonSerializerDefaults.Web) { WriteIndented = true };

    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var name = new Argument<string>("NAME") { Description = "Id of the sensor in its topics, or name of the account; its client id, too." };
        var folder = new Option<string>("--config") { Description = "Folder with service.json, roster.json and thresholds.json.", Required = true, HelpName = "DIR" };
        var kind = new Option<string>("--kind") { Description = "sensor; reader: a program of the staff, reads what is told of athletes; service: the service at a broker elsewhere.", DefaultValueFactory = _ => Account.Sensor };
        var athlete = new Option<string>("--athlete") { Description = "Pseudonym of who wears the sensor, for the roster." };
        var site = new Option<string>("--site") { Description = "trunk, ankle-left or ankle-right, for the roster." };
        var certificate = new Option<bool>("--certificate") { Description = "No secret: only a client certificate with NAME as its common name lets in." };
        kind.AcceptOnlyFromAmong(Account.Sensor, Account.Reader, Account.Service);
        var verb = new Command("enrol", "Lets a sensor into the broker: makes its credentials, shows the secret once, and writes the roster.")
        {
            name, folder, kind, athlete, site, certificate,
        };
        verb.Validators.Add(result =>
        {
            if ((result.GetValue(athlete) is null) != (result.GetValue(site) is null))
            {
                result.AddError("Found one of --athlete and --site; allowed: both or neither.");
            }
        });
        verb.SetAction((arguments, _) => RunAsync(
            terminal,
            arguments.GetRequiredValue(folder),
            arguments.GetRequiredValue(name),
            arguments.GetRequiredValue(kind),
            arguments.GetValue(athlete) is { } wearer ? new() { Sensor = arguments.GetRequiredValue(name), Athlete = wearer, Site = arguments.GetRequiredValue(site) } : null,
            arguments.GetValue(certificate)));
        return verb;
    }

    private static async Task<int> RunAsync(Terminal terminal, string folder, string name, string kind, RosterEntry? entry, bool byCertificate)
    {
        var faults = ConfigurationFolder.Load(folder, null, out var configuration).ToList();
        var roster = configuration?.Roster;
        if (configuration is not null)
        {
            faults.AddRange(Check(configuration, folder, name, kind, entry, ref roster));
        }

        if (faults.Count > 0)
        {
            await terminal.Error.WriteLineAsync(string.Join('\n', faults));
            return ExitCodes.WrongUsage;
        }

        var secret = SecretHash.NewSecret();
        try
        {
            AccountFile.Read(Path.Combine(folder, AccountFile.Name), out var accounts);
            Account[] all = [.. accounts!, new() { Name = name, Kind = kind, Hash = byCertificate ? "" : SecretHash.Of(secret) }];
            if (entry is not null)
            {
                WriteRoster(Path.Combine(folder, ConfigurationFolder.RosterFile), roster!);
            }

            AccountFile.Write(Path.Combine(folder, AccountFile.Name), all);
            MosquittoFiles.Write(folder, all, new(configuration!.Service.Hall));
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            await terminal.Error.WriteLineAsync($"{folder}: cannot be written: {problem.Message}");
            return ExitCodes.Failed;
        }

        await terminal.Out.WriteLineAsync(
            $"{name} may connect now, as {kind}.\n  user name and client id  {name}\n"
            + (byCertificate ? $"  client certificate       common name {name}" : $"  password                 {secret}\nThe password is shown this once and kept nowhere.")
            + (entry is null ? "" : "\nThe roster is read when the service starts."));
        return ExitCodes.Done;
    }

    private static List<InputFault> Check(
        HallConfiguration configuration, string folder, string name, string kind, RosterEntry? entry, ref RosterOptions? roster)
    {
        var faults = new List<InputFault>();
        if (!IdText.IsValid(name))
        {
            faults.Add(new("NAME", $"'{name}'", IdText.Allowed));
        }

        faults.AddRange(AccountFile.Read(Path.Combine(folder, AccountFile.Name), out var accounts));
        if (accounts?.Any(account => account.Name == name) == true)
        {
            faults.Add(new("NAME", $"'{name}', which has an account", "a new name, or 'revoke' first"));
        }

        if (entry is null)
        {
            return faults;
        }

        if (kind != Account.Sensor)
        {
            faults.Add(new("--athlete", "an athlete for what is no sensor", "--kind sensor"));
        }

        var others = configuration.Roster.Sensors.Where(other => other.Sensor != name);
        roster = new() { Sensors = [.. others, entry] };
        faults.AddRange(Roster.Faults(roster, Path.Combine(folder, ConfigurationFolder.RosterFile)));
        return faults;
    }

    // Remarks above the roster stay; those within it are lost.
    private static void WriteRoster(string path, RosterOptions roster)
    {
        var remarks = File.ReadLines(path).TakeWhile(line => line.StartsWith("//", StringComparison.Ordinal));
        PrivateFile.Write(path, string.Concat(remarks.Select(line => line + "\n")) + JsonSerializer.Serialize(roster, Indented) + "\n");
    }
}
