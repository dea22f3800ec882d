using Saltograph.Imu;

namespace Saltograph.Service.Recordings;

/// <summary>The samples of several recordings on one time base, as one sequence in the order of time.</summary>
internal static class RecordingMerge
{
    /// <summary>All received samples, earliest first; at equal times in the order of the sites. Lost rows are left out.</summary>
    public static IEnumerable<(Site Site, ImuSample Sample)> InOrderOfTime(IReadOnlyDictionary<Site, Recording> recordings)
    {
        var sites = recordings.Keys.Order().ToArray();
        var next = new int[sites.Length];
        for (var i = 0; i < sites.Length; i++)
        {
            next[i] = NextPresent(recordings[sites[i]], 0);
        }

        while (true)
        {
            var earliest = -1;
            for (var i = 0; i < sites.Length; i++)
            {
                if (next[i] < recordings[sites[i]].Rows
                    && (earliest < 0 || recordings[sites[i]].TimesS[next[i]] < recordings[sites[earliest]].TimesS[next[earliest]]))
                {
                    earliest = i;
                }
            }

            if (earliest < 0)
            {
                yield break;
            }

            var recording = recordings[sites[earliest]];
            yield return (sites[earliest], SampleOf(recording, next[earliest]));
            next[earliest] = NextPresent(recording, next[earliest] + 1);
        }
    }

    private static int NextPresent(Recording recording, int row)
    {
        while (row < recording.Rows && recording.Lost[row])
        {
            row++;
        }

        return row;
    }

    private static ImuSample SampleOf(Recording recording, int row) => new(
        SampleTime.FromSeconds(recording.TimesS[row]),
        recording.SpecificForcesSensorMps2[row],
        recording.AngularRatesSensorRadps[row],
        recording.Marks[row]);
}
