using System.CommandLine;
using Saltograph.Comparison;
using Saltograph.Service.Results;
using Saltograph.Service.Results.Comparing;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>compare</c>: two jumps or two groups, measure by measure.</summary>
internal static class CompareVerb
{
    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var a = new Argument<string>("A") { Description = "Jump records to compare with: one JSON object per line, one jump or many.", HelpName = "A.jsonl" };
        var b = new Argument<string>("B") { Description = "Jump records to compare; differences are B minus A.", HelpName = "B.jsonl" };
        var output = new Option<string>("--output") { Description = "File for the comparison, written anew: .json or .html.", HelpName = "out.json|out.html" };
        output.Validators.Add(result =>
        {
            var path = result.GetValueOrDefault<string>();
            if (path is not null && !IsJson(path) && !path.EndsWith(".html", StringComparison.OrdinalIgnoreCase))
            {
                result.AddError($"--output: found '{path}'; allowed: a file name that ends in .json or .html.");
            }
        });
        var curves = new Option<string[]>("--curves")
        {
            Description = "The curves of both, as analyse --curves writes them: they are compared along the phases of the jump.",
            HelpName = "CA.jsonl CB.jsonl",
            Arity = new(2, 2),
            AllowMultipleArgumentsPerToken = true,
        };
        var verb = new Command("compare", "Compares two jumps or two groups of jumps, measure by measure.") { a, b, output, curves };
        verb.SetAction(async (arguments, _) =>
            await RunAsync(terminal, arguments.GetRequiredValue(a), arguments.GetRequiredValue(b), arguments.GetValue(output), arguments.GetValue(curves)));
        return verb;
    }

    private static bool IsJson(string path) => path.EndsWith(".json", StringComparison.OrdinalIgnoreCase);

    private static async Task<int> RunAsync(Terminal terminal, string pathA, string pathB, string? output, string[]? curvePaths)
    {
        ComparedFile? b = null;
        var curves = ComparedCurves.None;
        if ((ComparedFile.Read(pathA, out var a) ?? ComparedFile.Read(pathB, out b)
            ?? (curvePaths is [var curvesA, var curvesB] ? ComparedCurves.Read(curvesA, curvesB, out curves) : null)) is { } fault)
        {
            await terminal.Error.WriteLineAsync(fault.ToString());
            return ExitCodes.WrongUsage;
        }

        var comparison = JumpComparison.Of(a!.Jumps, b!.Jumps);
        if (output is not null)
        {
            try
            {
                WholeFile.Write(output, IsJson(output) ? ComparisonJson.Text(a, b, comparison, curves) : ComparisonPage.Text(a, b, comparison, curves));
            }
            catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
            {
                await terminal.Error.WriteLineAsync($"{output}: cannot be written: {problem.Message}");
                return ExitCodes.Failed;
            }
        }

        ComparisonTable.Show(terminal, a, b, comparison, curves);
        if (output is not null)
        {
            await terminal.Out.WriteLineAsync($"Comparison written to {output}.");
        }

        await terminal.Out.WriteLineAsync(Cautions.Line);
        return ExitCodes.Done;
    }
}
