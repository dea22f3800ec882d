using System.CommandLine;
using Saltograph.Service.Configuration;
using Saltograph.Service.Hosting;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>serve</c>: the service against the configured broker, until a stop signal.</summary>
internal static class ServeVerb
{
    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var folder = new Option<string>("--config") { Description = "Folder with service.json, roster.json and thresholds.json.", Required = true, HelpName = "DIR" };
        var verb = new Command("serve", "Measures a hall, live, until it is told to stop (SIGTERM or Ctrl+C).") { folder };
        verb.SetAction((arguments, stop) => RunAsync(terminal, arguments.GetRequiredValue(folder), stop));
        return verb;
    }

    private static async Task<int> RunAsync(Terminal terminal, string folder, CancellationToken stop)
    {
        var faults = ConfigurationFolder.Load(folder, Environment.GetEnvironmentVariable(ConfigurationFolder.PasswordVariable), out var configuration);
        foreach (var fault in faults)
        {
            await terminal.Error.WriteLineAsync(fault.ToString());
        }

        if (configuration is null)
        {
            return ExitCodes.WrongUsage;
        }

        try
        {
            configuration = configuration.From(folder) with { StorePassword = Environment.GetEnvironmentVariable(ConfigurationFolder.StorePasswordVariable) };
            await using var host = await HallHost.BuildAsync(configuration, Logs.Compact(), stop: stop);
            var drain = host.Services.GetRequiredService<DrainOutcome>();
            await host.StartAsync(stop);
            await host.WaitForStopAsync(stop);
            return drain.WasCut ? ExitCodes.Failed : ExitCodes.Done;
        }
        catch (Exception problem) when (HallHost.IsReasonNotToStart(problem))
        {
            await terminal.Error.WriteLineAsync($"Cannot start: {problem.Message}");
            return ExitCodes.Failed;
        }
    }
}
