using System.CommandLine;
using Saltograph.Service.Results;
using Saltograph.Service.Validation;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>validate</c>: accuracy against the simulator's truth and recorded data, as a report.</summary>
internal static class ValidateVerb
{
    private const int MostTrainings = 100;

    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var output = new Option<string>("--output") { Description = "File for the report, one page that needs nothing else; written anew.", Required = true, HelpName = "report.html" };
        var data = new Option<string>("--data")
        {
            Description = "Folder of recorded sets, or one set: events.csv (trial, takeoff_s, landing_s, and record keys such as height_m as far as known) beside TRIAL.csv or TRIAL.csv.gz. Others are listed as left out.",
            HelpName = "DIR",
        };
        var quick = new Option<bool>("--quick") { Description = "Few and short trainings: a first look in some seconds, with figures that scatter." };
        var trainings = new Option<int>("--trainings") { Description = $"Simulated trainings of 300 s, 1 to {MostTrainings}; half as many for each other rate and range.", DefaultValueFactory = _ => new ValidationPlan().Trainings };
        var seed = new Option<ulong>("--seed") { Description = "Seed of the first training; the others follow.", DefaultValueFactory = _ => new ValidationPlan().FirstSeed };
        trainings.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<int>() is < 1 or > MostTrainings)
            {
                result.AddError($"--trainings: found a number outside the range; allowed: 1 to {MostTrainings}.");
            }
        });
        output.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<string>() is { } path && !path.EndsWith(".html", StringComparison.OrdinalIgnoreCase))
            {
                result.AddError($"--output: found '{path}'; allowed: a file name that ends in .html.");
            }
        });
        data.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<string>() is { } folder && !Directory.Exists(folder))
            {
                result.AddError($"--data: found '{folder}'; allowed: a folder that exists.");
            }
        });
        var verb = new Command("validate", "Measures how exact the measures are, against simulated truth and recorded data, and writes a report.") { output, data, quick, trainings, seed };
        verb.SetAction(async (arguments, _) =>
        {
            var count = arguments.GetValue(trainings);
            var plan = arguments.GetValue(quick) ? ValidationPlan.Quick : new() { Trainings = count, SweepTrainings = Math.Max(1, count / 2) };
            return await RunAsync(terminal, plan with { FirstSeed = arguments.GetValue(seed) }, arguments.GetValue(data), arguments.GetRequiredValue(output));
        });
        return verb;
    }

    private static async Task<int> RunAsync(Terminal terminal, ValidationPlan plan, string? data, string output)
    {
        try
        {
            WholeFile.Probe(output);
            var result = await WithProgress.RunAsync(terminal, "Validating", progress => ValidationRun.Run(plan, data, progress));
            WholeFile.Write(output, ValidationPage.Text(result, TimeProvider.System.GetUtcNow()));
            await terminal.Out.WriteLineAsync(Summary(result));
            await terminal.Out.WriteLineAsync($"Report written to {output}.");
            await terminal.Out.WriteLineAsync(Cautions.Line);
            return ExitCodes.Done;
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            await terminal.Error.WriteLineAsync($"{output}: cannot be written: {problem.Message}");
            return ExitCodes.Failed;
        }
    }

    private static string Summary(ValidationResult result)
    {
        var score = result.AsWorn;
        var lines = new List<string>
        {
            FormattableString.Invariant($"{score.Asked} simulated jumps, recall {score.Recall:0.000}, precision {score.Precision:0.000}, form right {score.FormRight:0.000}"),
        };
        lines.AddRange(ValidatedMeasure.All.Select(score.Errors).Where(summary => summary.P95 is not null).Select(summary => FormattableString.Invariant(
            $"{summary.Measure.Name}: median {Plots.Figure(summary.Median!.Value)}, 95 % within {Plots.Figure(summary.P95!.Value)} {summary.Measure.Unit}")));
        lines.AddRange(result.Recorded.Select(set => set.Trials.Count == 0
            ? $"{set.Name}: left out, {string.Join("; ", set.Skipped)}"
            : FormattableString.Invariant($"{set.Name}: {set.Score.Asked} jumps, {set.Score.Missed} missed, {set.Score.False} false")));
        return string.Join('\n', lines);
    }
}
