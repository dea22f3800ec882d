namespace Saltograph.Service.Recordings;

/// <summary>Estimates a sample rate from times that may be rounded and may have gaps.</summary>
internal static class SampleRate
{
    /// <summary>Lowest rate accepted, Hz (a recording's contract).</summary>
    public const double LowestHz = 50;

    /// <summary>Highest rate accepted, Hz (a recording's contract).</summary>
    public const double HighestHz = 2000;

    /// <summary>Share by which a measured rate may lie outside: clocks and rounded times are not exact.</summary>
    public const double Slack = 0.01;

    // An interval this much longer than the usual one holds a missing sample and tells nothing about the rate.
    // Below 2, above the 1.5 that rounding to whole milliseconds makes of 416 Hz (2 ms and 3 ms).
    private const double LongestUsualInterval = 1.75;

    /// <summary>Samples per second; null with fewer than two samples.</summary>
    /// <param name="timesS">Times of the samples, s, increasing.</param>
    /// <remarks>
    /// The lower quartile of the intervals tells which ones have no missing sample in them, as long as a quarter has none;
    /// their mean is the estimate. A quantile alone would be wrong by the rounding: 128 Hz written in milliseconds has
    /// intervals of 7 and 8 ms, 143 and 125 Hz.
    /// </remarks>
    public static double? EstimateHz(ReadOnlySpan<double> timesS)
    {
        if (timesS.Length < 2)
        {
            return null;
        }

        var intervalsS = new double[timesS.Length - 1];
        for (var i = 0; i < intervalsS.Length; i++)
        {
            intervalsS[i] = timesS[i + 1] - timesS[i];
        }

        Array.Sort(intervalsS);
        var limitS = LongestUsualInterval * intervalsS[intervalsS.Length / 4];
        var usual = 0;
        var sumS = 0.0;
        while (usual < intervalsS.Length && intervalsS[usual] <= limitS)
        {
            sumS += intervalsS[usual];
            usual++;
        }

        return usual / sumS;
    }

    /// <summary>Whether the rate is inside the accepted range.</summary>
    public static bool IsAccepted(double sampleRateHz) =>
        sampleRateHz >= LowestHz * (1 - Slack) && sampleRateHz <= HighestHz * (1 + Slack);
}
