using Saltograph.Imu;

namespace Saltograph.Simulator.Recording;

/// <summary>Several sensors in one file, each with a column prefix.</summary>
public static partial class RecordingText
{
    /// <summary>Column prefix of a site: <c>trunk</c>, <c>ankle_left</c>, <c>ankle_right</c>.</summary>
    public static string PrefixOf(Site site) => site.Name().Replace('-', '_');

    /// <summary>
    /// Writes several sensors side by side. The rows have the times of the first; each other sensor puts the sample nearest
    /// in time into a row, each at most once, which moves it by up to half an interval. A row without one has empty cells.
    /// Where that matters write one file per sensor.
    /// </summary>
    /// <param name="text">Where to.</param>
    /// <param name="sensors">Column prefix without its underscore (a-z, 0-9, _), and samples in order of time.</param>
    public static void WriteSideBySide(TextWriter text, IReadOnlyList<(string Prefix, IReadOnlyList<ImuSample> Samples)> sensors)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(sensors);
        ArgumentOutOfRangeException.ThrowIfZero(sensors.Count);
        var columns = Header.Split(',');
        text.Write(columns[0]);
        foreach (var (prefix, _) in sensors)
        {
            RequirePrefix(prefix);
            foreach (var column in columns.AsSpan(1))
            {
                text.Write($",{prefix}_{column}");
            }
        }

        text.Write('\n');
        var first = sensors[0].Samples;
        var farthestUs = first.Count > 1 ? ((first[^1].Time.Microseconds - first[0].Time.Microseconds) / (2 * (first.Count - 1))) + 1 : 0;
        var next = new int[sensors.Count];
        foreach (var row in first)
        {
            Time(text, row.Time);
            Cells(text, row);
            for (var s = 1; s < sensors.Count; s++)
            {
                Cells(text, Nearest(sensors[s].Samples, ref next[s], row.Time, farthestUs));
            }

            text.Write('\n');
        }
    }

    private static ImuSample? Nearest(IReadOnlyList<ImuSample> samples, ref int next, SampleTime time, long farthestUs)
    {
        while (next + 1 < samples.Count && DistanceUs(samples[next + 1], time) <= DistanceUs(samples[next], time))
        {
            next++;
        }

        return next < samples.Count && DistanceUs(samples[next], time) <= farthestUs ? samples[next++] : null;
    }

    private static long DistanceUs(in ImuSample sample, SampleTime time) => Math.Abs(sample.Time.Microseconds - time.Microseconds);

    private static void RequirePrefix(string prefix)
    {
        if (string.IsNullOrEmpty(prefix) || prefix.Any(c => !(c is (>= 'a' and <= 'z') or (>= '0' and <= '9') or '_')))
        {
            throw new ArgumentException($"Column prefix '{prefix}' is not allowed; allowed: a-z, 0-9 and _.", nameof(prefix));
        }
    }
}
