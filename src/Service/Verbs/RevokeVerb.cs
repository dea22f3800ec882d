using System.CommandLine;
using Saltograph.Service.Configuration;
using Saltograph.Service.Security;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>revoke</c>: shuts a sensor, or a program that reads, out of the broker.</summary>
internal static class RevokeVerb
{
    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var name = new Argument<string>("NAME") { Description = "Id of the sensor, or name of the account." };
        var folder = new Option<string>("--config") { Description = "Folder with service.json, roster.json and thresholds.json.", Required = true, HelpName = "DIR" };
        var verb = new Command("revoke", "Takes the account of a sensor away; its connection to the embedded broker ends within seconds. The roster stays.") { name, folder };
        verb.SetAction((arguments, _) => RunAsync(terminal, arguments.GetRequiredValue(folder), arguments.GetRequiredValue(name)));
        return verb;
    }

    private static async Task<int> RunAsync(Terminal terminal, string folder, string name)
    {
        var path = Path.Combine(folder, AccountFile.Name);
        var faults = ConfigurationFolder.Load(folder, null, out var configuration).ToList();
        faults.AddRange(AccountFile.Read(path, out var accounts));
        if (accounts?.All(account => account.Name != name) == true)
        {
            faults.Add(new("NAME", $"'{name}', which has no account", accounts.Count == 0 ? "none, for there are no accounts" : string.Join(", ", accounts.Select(account => account.Name))));
        }

        if (faults.Count > 0)
        {
            await terminal.Error.WriteLineAsync(string.Join('\n', faults));
            return ExitCodes.WrongUsage;
        }

        try
        {
            Account[] rest = [.. accounts!.Where(account => account.Name != name)];
            AccountFile.Write(path, rest);
            MosquittoFiles.Write(folder, rest, new(configuration!.Service.Hall));
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            await terminal.Error.WriteLineAsync($"{folder}: cannot be written: {problem.Message}");
            return ExitCodes.Failed;
        }

        await terminal.Out.WriteLineAsync($"{name} may not connect any more. Mosquitto notices when it is told to read its files again (SIGHUP) and the connection ends.");
        return ExitCodes.Done;
    }
}
