using System.CommandLine;
using Saltograph.Imu;
using Saltograph.Service.Recordings;
using Saltograph.Service.Results;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>analyse</c>: jumps out of CSV recordings.</summary>
internal static class AnalyseVerb
{
    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var trunk = RecordingOption("--trunk", "Recording of the trunk sensor: FILE, or FILE:prefix when the file holds several sensors.");
        trunk.Required = true;
        var left = RecordingOption("--ankle-left", "Recording of the left shank sensor, on the same time base.");
        var right = RecordingOption("--ankle-right", "Recording of the right shank sensor, on the same time base.");
        var output = new Option<string>("--output") { Description = "File for the jump records, one JSON object per line; written anew.", Required = true, HelpName = "jumps.jsonl" };
        var curves = new Option<string>("--curves") { Description = "File for the curves of each jump, laid on its phases, one JSON object per line; written anew.", HelpName = "curves.jsonl" };
        var athlete = new Option<string>("--athlete") { Description = "Pseudonym in the records.", DefaultValueFactory = _ => "athlete-1" };
        var range = new Option<string[]>("--range")
        {
            Description = "Accelerometer full scale in m/s2: one number for all sites, or SITE=NUMBER, once per site (trunk, ankle-left, ankle-right). "
                + "Without it, repeated extreme values count as saturated.",
            HelpName = "156.9",
        };
        athlete.Validators.Add(result =>
        {
            if (!IdText.IsValid(result.GetValueOrDefault<string>()))
            {
                result.AddError($"--athlete: found '{result.GetValueOrDefault<string>()}'; allowed: {IdText.Allowed}.");
            }
        });
        range.Validators.Add(result =>
        {
            if (FullScales.TryParse(result.GetValueOrDefault<string[]>() ?? [], out _) is { } wrong)
            {
                result.AddError(wrong);
            }
        });

        var verb = new Command("analyse", "Finds and measures the jumps in CSV recordings.") { trunk, left, right, output, curves, athlete, range };
        verb.SetAction((arguments, _) =>
        {
            FullScales.TryParse(arguments.GetValue(range) ?? [], out var fullScales);
            var files = new Dictionary<Site, RecordingReference>();
            Add(files, Site.Trunk, arguments.GetValue(trunk));
            Add(files, Site.AnkleLeft, arguments.GetValue(left));
            Add(files, Site.AnkleRight, arguments.GetValue(right));
            return RunAsync(terminal, files, fullScales!, new(arguments.GetRequiredValue(athlete)), arguments.GetRequiredValue(output), arguments.GetValue(curves));
        });
        return verb;
    }

    private static Option<string> RecordingOption(string name, string description) => new(name) { Description = description, HelpName = "FILE[:prefix]" };

    private static void Add(Dictionary<Site, RecordingReference> files, Site site, string? text)
    {
        if (text is not null)
        {
            files.Add(site, RecordingReference.Parse(text));
        }
    }

    private static async Task<int> RunAsync(
        Terminal terminal, Dictionary<Site, RecordingReference> files, FullScales fullScales, AthleteId athlete, string output, string? curves)
    {
        var analysis = await WithProgress.RunAsync(terminal, "Analysing", progress => RecordingAnalysis.Run(files, fullScales, progress));
        if (analysis.Fault is { } fault)
        {
            await terminal.Error.WriteLineAsync(fault.ToString());
            return ExitCodes.WrongUsage;
        }

        var written = output;
        try
        {
            JumpLines.WriteFile(output, athlete, analysis.Jumps);
            if (curves is not null)
            {
                written = curves;
                CurveLines.WriteFile(curves, athlete, analysis.Jumps);
            }
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            await terminal.Error.WriteLineAsync($"{written}: cannot be written: {problem.Message}");
            return ExitCodes.Failed;
        }

        JumpTable.Show(terminal, analysis);
        await terminal.Out.WriteLineAsync($"{analysis.Jumps.Count} jumps written to {output}.");
        await terminal.Out.WriteLineAsync(Cautions.Line);
        return ExitCodes.Done;
    }
}
