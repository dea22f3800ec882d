using Saltograph.Imu;
using Saltograph.Signals;

namespace Saltograph.Jumps;

/// <summary>One scalar over a short window of a track, optionally low-passed without delay; made once per jump.</summary>
internal sealed class LocalSignal
{
    private readonly SampleTime[] _times;
    private readonly double[] _values;

    private LocalSignal(SampleTime[] times, double[] values)
    {
        _times = times;
        _values = values;
    }

    public int Count => _values.Length;

    public double this[int index] => _values[index];

    public SampleTime TimeAt(int index) => _times[index];

    /// <summary>Copies what the track keeps of the window.</summary>
    /// <param name="track">Where from.</param>
    /// <param name="from">Start of the window.</param>
    /// <param name="to">End of the window.</param>
    /// <param name="pick">Which number of a sample.</param>
    /// <param name="cutoffHz">Low pass applied forward and backward, Hz; left out when null or not below half the sample rate.</param>
    public static LocalSignal Take(SampleTrack track, SampleTime from, SampleTime to, Func<TrackPoint, double> pick, double? cutoffHz)
    {
        var first = track.IndexAtOrAfter(from);
        var end = first;
        while (end < track.End && track[end].Time <= to)
        {
            end++;
        }

        var times = new SampleTime[end - first];
        var values = new double[end - first];
        for (var i = first; i < end; i++)
        {
            times[i - first] = track[i].Time;
            values[i - first] = pick(track[i]);
        }

        return Filtered(times, values, track.SampleRateHz, cutoffHz);
    }

    /// <summary>A window that is known already; its values are copied.</summary>
    public static LocalSignal Of(SampleTime[] times, double[] values, double sampleRateHz, double? cutoffHz) =>
        Filtered(times, (double[])values.Clone(), sampleRateHz, cutoffHz);

    private static LocalSignal Filtered(SampleTime[] times, double[] values, double sampleRateHz, double? cutoffHz)
    {
        // 0.9 of half the rate: closer to it the bilinear transform has nothing left to filter.
        if (cutoffHz is { } cutoff && cutoff < 0.45 * sampleRateHz)
        {
            ForwardBackward.Apply(BiquadCoefficients.ButterworthLowPass(cutoff, sampleRateHz), values);
        }

        return new(times, values);
    }

    /// <summary>The same, low-passed without delay.</summary>
    public LocalSignal Filtered(double cutoffHz, double sampleRateHz) => Of(_times, _values, sampleRateHz, cutoffHz);

    /// <summary>Index of the first sample at or after a time; Count when there is none.</summary>
    public int IndexAtOrAfter(SampleTime time)
    {
        var index = Array.BinarySearch(_times, time);
        return index >= 0 ? index : ~index;
    }

    /// <summary>Where the straight line between sample <paramref name="index"/> - 1 and the sample meets a level.</summary>
    public SampleTime Crossing(int index, double level)
    {
        if (index <= 0)
        {
            return _times[0];
        }

        var before = _values[index - 1];
        var after = _values[index];
        var share = after == before ? 0 : Math.Clamp((level - before) / (after - before), 0, 1);
        return _times[index - 1].PlusSeconds(share * (_times[index] - _times[index - 1]));
    }

    /// <summary>Value at an instant, linear between samples, held at the ends. There must be a sample.</summary>
    public double At(SampleTime time)
    {
        var after = IndexAtOrAfter(time);
        if (after <= 0 || after >= Count)
        {
            return _values[Math.Clamp(after, 0, Count - 1)];
        }

        var share = (time - _times[after - 1]) / (_times[after] - _times[after - 1]);
        return _values[after - 1] + (share * (_values[after] - _values[after - 1]));
    }

    /// <summary>Index of the largest value inside [first, end); first when the stretch is empty.</summary>
    public int IndexOfLargest(int first, int end)
    {
        var best = first;
        for (var i = first + 1; i < Math.Min(end, Count); i++)
        {
            if (_values[i] > _values[best])
            {
                best = i;
            }
        }

        return best;
    }

    /// <summary>Mean of the values with times inside [from, to]; NaN when there is none.</summary>
    public double Mean(SampleTime from, SampleTime to)
    {
        var sum = 0.0;
        var count = 0;
        for (var i = IndexAtOrAfter(from); i < Count && _times[i] <= to; i++)
        {
            sum += _values[i];
            count++;
        }

        return count > 0 ? sum / count : double.NaN;
    }
}
