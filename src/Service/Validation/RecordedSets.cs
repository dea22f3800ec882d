using System.Globalization;
using nietras.SeparatedValues;
using Saltograph.Imu;
using Saltograph.Service.Recordings;
using Saltograph.Service.Results;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Validation;

/// <summary>A folder of recorded data.</summary>
/// <param name="Name">Name of the folder.</param>
/// <param name="Trials">Recordings measured.</param>
/// <param name="Score">What came out.</param>
/// <param name="Skipped">What was left out, each with the reason.</param>
internal sealed record RecordedSet(string Name, IReadOnlyList<string> Trials, TrialScore Score, IReadOnlyList<string> Skipped);

/// <summary>
/// Measures folders of recordings with their truth. A set is a folder with <c>events.csv</c> and, for each of its trials, <c>TRIAL.csv</c> or
/// <c>TRIAL.csv.gz</c>. Columns of <c>events.csv</c>: <c>trial, takeoff_s, landing_s</c>, and, as far as known, the keys of the record in small letters with
/// underscores (<c>height_m, turn_flight_deg, split_angle_deg</c>). Columns of a recording: those of any recording, without a prefix when it is the trunk alone, or
/// with one of the prefixes <see cref="Prefixes"/>. Every jump in a trial must be in its truth.
/// </summary>
internal static class RecordedSets
{
    private const string EventsFile = "events.csv";
    private static readonly string[] Endings = [".csv", ".csv.gz"];
    private static readonly string[] NeededColumns = ["trial", "takeoff_s", "landing_s"];

    /// <summary>Prefixes by which the sensors in a file are told apart.</summary>
    public static IReadOnlyDictionary<Site, string[]> Prefixes { get; } = new Dictionary<Site, string[]>
    {
        [Site.Trunk] = ["trunk", "lowback", "sacrum", "waist"],
        [Site.AnkleLeft] = ["ankle_left", "shank_left"],
        [Site.AnkleRight] = ["ankle_right", "shank_right"],
    };

    /// <summary>The folder itself, when it is a set, or those in it.</summary>
    public static IReadOnlyList<RecordedSet> Measure(string folder)
    {
        string[] sets = File.Exists(Path.Combine(folder, EventsFile)) ? [folder] : [.. Directory.GetDirectories(folder).Order(StringComparer.Ordinal)];
        return [.. sets.Select(MeasureSet)];
    }

    private static RecordedSet MeasureSet(string folder)
    {
        var name = Path.GetFileName(Path.TrimEndingDirectorySeparator(folder));
        var skipped = new List<string>();
        var score = new TrialScore();
        var trials = new List<string>();
        var events = Path.Combine(folder, EventsFile);
        if (!File.Exists(events))
        {
            return new(name, trials, score, [$"no {EventsFile}"]);
        }

        var truths = new Dictionary<string, List<JumpLine>>(StringComparer.Ordinal);
        if (ReadTruth(events, truths) is { } fault)
        {
            return new(name, trials, score, [fault.ToString()]);
        }

        foreach (var (trial, jumps) in truths)
        {
            if (MeasureTrial(folder, trial, jumps, score) is { } reason)
            {
                skipped.Add($"{trial}: {reason}");
            }
            else
            {
                trials.Add(trial);
            }
        }

        return new(name, trials, score, skipped);
    }

    private static string? MeasureTrial(string folder, string trial, List<JumpLine> truths, TrialScore score)
    {
        var path = Endings.Select(ending => Path.Combine(folder, trial + ending)).FirstOrDefault(File.Exists);
        if (path is null)
        {
            return "no recording of this name";
        }

        var recordings = new Dictionary<Site, Recording>();
        var fault = RecordingReader.Read(new(path, null), null, out var alone);
        if (fault is null)
        {
            recordings.Add(Site.Trunk, alone!);
        }
        else
        {
            foreach (var (site, prefixes) in Prefixes)
            {
                foreach (var prefix in prefixes)
                {
                    if (!recordings.ContainsKey(site) && RecordingReader.Read(new(path, prefix), null, out var recording) is null)
                    {
                        recordings.Add(site, recording!);
                    }
                }
            }
        }

        if (!recordings.ContainsKey(Site.Trunk))
        {
            return $"no trunk sensor in it ({fault! with { File = Path.GetFileName(path) }})";
        }

        score.Add(truths, SimulatedTrial.Lines(new("athlete-1"), RecordingAnalysis.Measure(recordings, new WorkProgress())));
        return null;
    }

    private static InputFault? ReadTruth(string path, Dictionary<string, List<JumpLine>> truths)
    {
        using var reader = Sep.New(',').Reader(options => options with { Unescape = true, CultureInfo = CultureInfo.InvariantCulture }).FromFile(path);
        var names = reader.Header.ColNames;
        if (NeededColumns.FirstOrDefault(column => !names.Contains(column, StringComparer.Ordinal)) is { } missing)
        {
            return new(Path.GetFileName(path), $"no column {missing}", "the columns trial, takeoff_s and landing_s", 1, missing);
        }

        var keys = ValidatedMeasure.All.Select(measure => (measure.Key, Column: ColumnOf(measure.Key))).Where(pair => names.Contains(pair.Column, StringComparer.Ordinal)).ToArray();
        while (reader.MoveNext())
        {
            var row = reader.Current;
            if (!row["takeoff_s"].TryParse<double>(out var takeoffS) || !row["landing_s"].TryParse<double>(out var landingS) || !(landingS > takeoffS))
            {
                return new(Path.GetFileName(path), $"'{row["takeoff_s"]}' and '{row["landing_s"]}'", "two times in s, landing after take-off", row.LineNumberFrom, "takeoff_s");
            }

            var values = new Dictionary<string, double>(StringComparer.Ordinal);
            foreach (var (key, column) in keys)
            {
                if (row[column].TryParse<double>(out var value))
                {
                    values[key] = value;
                }
            }

            values["flightTimeS"] = landingS - takeoffS;
            var trial = row["trial"].ToString();
            if (!truths.TryGetValue(trial, out var jumps))
            {
                truths.Add(trial, jumps = []);
            }

            jumps.Add(new(row.LineNumberFrom, new("athlete-1"), jumps.Count + 1, takeoffS, landingS, null, null, null, [], values, new Dictionary<string, double>(StringComparer.Ordinal)));
        }

        return null;
    }

    /// <summary>flightTimeS is flight_time_s.</summary>
    internal static string ColumnOf(string key) =>
        string.Concat(key.Replace('.', '_').Select(letter => char.IsAsciiLetterUpper(letter) ? $"_{char.ToLowerInvariant(letter)}" : letter.ToString()));
}
