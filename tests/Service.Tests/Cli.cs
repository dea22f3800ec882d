using Saltograph.Service.Verbs;

namespace Saltograph.Service.Tests;

/// <summary>The command line inside the test's process.</summary>
internal sealed record Cli(int ExitCode, string Out, string Error)
{
    public static async Task<Cli> RunAsync(params string[] arguments)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var exit = await CommandLine.RunAsync(arguments, new(output, error, IsInteractive: false));
        return new(exit, output.ToString(), error.ToString());
    }
}
