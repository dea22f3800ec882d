using System.CommandLine;

namespace Saltograph.Service.Verbs;

/// <summary>All verbs.</summary>
internal static class CommandLine
{
    /// <summary>Runs the verb that the arguments name.</summary>
    /// <returns>One of <see cref="ExitCodes"/>.</returns>
    public static async Task<int> RunAsync(string[] arguments, Terminal terminal)
    {
        var root = new RootCommand("Measures the jumps of gymnasts with inertial sensors. " + Cautions.Line)
        {
            DemoVerb.Create(terminal),
            ServeVerb.Create(terminal),
            AnalyseVerb.Create(terminal),
            CompareVerb.Create(terminal),
            ReportVerb.Create(terminal),
            SimulateVerb.Create(terminal),
            OrientVerb.Create(terminal),
            ReplayVerb.Create(terminal),
            ValidateVerb.Create(terminal),
            EnrolVerb.Create(terminal),
            RevokeVerb.Create(terminal),
        };
        var parsed = root.Parse(arguments);

        // The library ends a program two seconds after a stop signal, in the middle of a drain, unless told not to.
        var exit = await parsed.InvokeAsync(new InvocationConfiguration
        {
            Output = terminal.Out,
            Error = terminal.Error,
            ProcessTerminationTimeout = null,
        });
        return parsed.Errors.Count > 0 ? ExitCodes.WrongUsage : exit;
    }
}
