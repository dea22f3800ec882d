using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline.Motion;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Recordings;

/// <summary>What the analysis of recordings found.</summary>
/// <param name="Fault">What is wrong with the input; null when nothing.</param>
/// <param name="Jumps">The jumps, in order.</param>
/// <param name="Recordings">What was read, for the summary.</param>
internal sealed record RecordingAnalysis(InputFault? Fault, IReadOnlyList<JumpRecord> Jumps, IReadOnlyDictionary<Site, Recording> Recordings)
{
    // Reading takes about as long as measuring.
    private const double ReadingShare = 0.5;
    private const int SamplesPerReport = 4096;

    /// <summary>Reads and measures.</summary>
    public static RecordingAnalysis Run(IReadOnlyDictionary<Site, RecordingReference> files, FullScales fullScales, WorkProgress progress)
    {
        var recordings = new Dictionary<Site, Recording>();
        foreach (var (site, file) in files)
        {
            if (RecordingReader.Read(file, fullScales.Of(site), out var recording) is { } fault)
            {
                return new(fault, [], recordings);
            }

            recordings.Add(site, recording!);
            progress.Share = ReadingShare * recordings.Count / files.Count;
        }

        return new(null, Measure(recordings, progress), recordings);
    }

    /// <summary>Measures recordings on one time base.</summary>
    public static IReadOnlyList<JumpRecord> Measure(IReadOnlyDictionary<Site, Recording> recordings, WorkProgress progress)
    {
        var tracker = new MotionTracker(new());
        foreach (var (site, recording) in recordings)
        {
            // The estimate of a rate at the edge of the range may lie a little outside.
            tracker.SetSampleRate(site, Math.Clamp(recording.SampleRateHz, SampleRate.LowestHz, SampleRate.HighestHz));
        }

        var facts = new JumpFacts();
        var total = Math.Max(1, recordings.Values.Sum(recording => recording.Rows));
        var done = 0;
        foreach (var (site, sample) in RecordingMerge.InOrderOfTime(recordings))
        {
            tracker.Push(site, sample, facts);
            if (++done % SamplesPerReport == 0)
            {
                progress.Share = ReadingShare + ((1 - ReadingShare) * done / total);
            }
        }

        tracker.Complete(facts);
        return facts.Jumps;
    }
}
