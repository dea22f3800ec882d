using System.CommandLine;
using Saltograph.Ahrs;
using Saltograph.Service.Recordings;
using Saltograph.Service.Results;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>orient</c>: the orientation of one CSV recording, by any filter.</summary>
internal static class OrientVerb
{
    private static readonly Dictionary<string, OrientationMethod> Methods = new(StringComparer.Ordinal)
    {
        ["vqf"] = OrientationMethod.Vqf,
        ["madgwick"] = OrientationMethod.Madgwick,
        ["mahony"] = OrientationMethod.Mahony,
        ["athlete"] = OrientationMethod.Athlete,
    };

    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var input = new Argument<string>("INPUT") { Description = "CSV recording: FILE, or FILE:prefix when the file holds several sensors." };
        var filter = new Option<string>("--filter")
        {
            Description = "vqf (general), athlete (travelling, turning, flying), mahony or madgwick (for comparison).",
            Required = true,
        };
        filter.AcceptOnlyFromAmong([.. Methods.Keys]);
        var magnetometer = new Option<bool>("--magnetometer") { Description = "Use the magnetometer columns: x is then east, y magnetic north. Without it the heading is free." };
        var offline = new Option<bool>("--offline") { Description = "Forward and backward for vqf, smoothing for athlete; every sample then knows what came after it." };
        var output = new Option<string>("--output") { Description = "File for the orientation, one line per row of the input; written anew.", Required = true, HelpName = "q.csv" };

        var verb = new Command("orient", "Computes the orientation of one CSV recording.") { input, filter, magnetometer, offline, output };
        verb.Validators.Add(result =>
        {
            if (result.GetValue(offline) && result.GetValue(filter) is { } name
                && Methods.TryGetValue(name, out var method) && !OrientationRunOptions.HasOffline(method))
            {
                result.AddError($"--offline: found --filter {name}; allowed: vqf, athlete.");
            }
        });
        verb.SetAction((arguments, _) => RunAsync(
            terminal,
            RecordingReference.Parse(arguments.GetRequiredValue(input)),
            new() { Method = Methods[arguments.GetRequiredValue(filter)], Offline = arguments.GetValue(offline) },
            arguments.GetValue(magnetometer),
            arguments.GetRequiredValue(output)));
        return verb;
    }

    private static async Task<int> RunAsync(
        Terminal terminal, RecordingReference reference, OrientationRunOptions options, bool magnetometer, string output)
    {
        var (recording, series, fault) = await WithProgress.RunAsync(terminal, "Orienting", progress => Orient(reference, options, magnetometer, progress));
        if (fault is not null)
        {
            await terminal.Error.WriteLineAsync(fault.ToString());
            return ExitCodes.WrongUsage;
        }

        try
        {
            OrientationLines.WriteFile(output, recording!.TimesS, series!, options.EstimatesBias);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            await terminal.Error.WriteLineAsync($"{output}: cannot be written: {problem.Message}");
            return ExitCodes.Failed;
        }

        await terminal.Out.WriteLineAsync(FormattableString.Invariant(
            $"{recording.Rows} rows at {recording.SampleRateHz:0.0} Hz, {recording.Lost.Count(lost => lost)} lost, written to {output}."));
        await terminal.Out.WriteLineAsync(Cautions.Line);
        return ExitCodes.Done;
    }

    private static (Recording? Recording, OrientationSeries? Series, Recordings.InputFault? Fault) Orient(
        RecordingReference reference, OrientationRunOptions options, bool magnetometer, WorkProgress progress)
    {
        var fault = RecordingReader.Read(reference, null, out var recording);
        if (fault is not null)
        {
            return (null, null, fault);
        }

        progress.Share = 0.5;
        if (magnetometer && recording!.MagneticFieldsSensorUT is null)
        {
            return (null, null, new(
                reference.ToString(), "no magnetometer columns", $"{reference.Column("mag_x_uT")}, _y_uT and _z_uT with --magnetometer, or without it", 1));
        }

        var rows = new OrientationRows
        {
            TimesS = recording!.TimesS,
            AngularRatesRadps = recording.AngularRatesSensorRadps,
            SpecificForcesMps2 = recording.SpecificForcesSensorMps2,
            MagneticFields = magnetometer ? recording.MagneticFieldsSensorUT : default,
            Lost = recording.Lost,
            Marks = recording.Marks,
        };
        var series = OrientationRun.Run(options, rows, recording.SampleRateHz);
        progress.Share = 1;
        return (recording, series, null);
    }
}
