using System.Diagnostics;
using Saltograph.Testing;

namespace Saltograph.Architecture;

/// <summary>Runs the SDK or git on the checkout.</summary>
internal static class Tool
{
    public static (int ExitCode, string Output) Dotnet(params string[] arguments) =>
        Run(Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet", arguments);

    public static (int ExitCode, string Output) Run(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments)
        {
            UseShellExecute = false,
            WorkingDirectory = Repository.Root,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            Environment = { ["DOTNET_CLI_UI_LANGUAGE"] = "en", ["DOTNET_NOLOGO"] = "1" },
        })!;
        var errors = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output + errors.GetAwaiter().GetResult());
    }
}
