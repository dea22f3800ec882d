using Saltograph.Imu;
using Saltograph.Signals;

namespace Saltograph.Jumps;

/// <summary>Landing shock at one site.</summary>
/// <param name="PeakG">Largest magnitude of specific force, in units of standard gravity.</param>
/// <param name="PeakTime">When.</param>
/// <param name="Saturated">Whether a sample of the window was at its rail: the true peak is at least this.</param>
internal readonly record struct ShockMeasure(double PeakG, SampleTime PeakTime, bool Saturated)
{
    // Room for the filter on both sides, several of its time constants (2.7 ms at 60 Hz).
    private const double MarginS = 0.08;

    /// <summary>Whether the shock filter can run at this rate.</summary>
    public static bool CanFilter(double sampleRateHz, JumpOptions options) => options.ShockCutoffHz < 0.45 * sampleRateHz;

    /// <summary>
    /// Measures after one contact: each axis of the sensor frame first through the low pass forward and backward, then the
    /// largest magnitude in the window. Null when the window holds no received sample.
    /// </summary>
    public static ShockMeasure? Find(SampleTrack track, SampleTime contact, JumpOptions options)
    {
        var end = contact.PlusSeconds(options.ShockWindowS);
        if (track.IsEmpty || !track.Covers(contact, end))
        {
            return null;
        }

        var first = track.IndexAtOrAfter(contact.PlusSeconds(-MarginS));
        var stop = track.IndexAtOrAfter(end.PlusSeconds(MarginS));
        var magnitudesG = MagnitudesG(track, first, stop, options);
        ShockMeasure? best = null;
        var saturated = false;
        for (var i = first; i < stop; i++)
        {
            ref readonly var point = ref track[i];
            if (point.Time < contact || point.Time > end || (point.Marks & SampleMarks.Bridged) != SampleMarks.None)
            {
                continue;
            }

            var peakG = magnitudesG[i - first];
            saturated |= (point.Marks & SampleMarks.AccelerometerSaturated) != SampleMarks.None;
            if (best is null || peakG > best.Value.PeakG)
            {
                best = new(peakG, point.Time, false);
            }
        }

        return best is { } found ? found with { Saturated = saturated } : null;
    }

    /// <summary>Magnitudes of specific force of the samples [first, stop), g, after the shock filter.</summary>
    internal static double[] MagnitudesG(SampleTrack track, long first, long stop, JumpOptions options)
    {
        var axes = new double[3][];
        for (var axis = 0; axis < 3; axis++)
        {
            axes[axis] = new double[stop - first];
            for (var i = first; i < stop; i++)
            {
                ref readonly var force = ref track[i].SpecificForceSensorMps2;
                axes[axis][i - first] = axis == 0 ? force.X : axis == 1 ? force.Y : force.Z;
            }

            if (CanFilter(track.SampleRateHz, options))
            {
                ForwardBackward.Apply(BiquadCoefficients.ButterworthLowPass(options.ShockCutoffHz, track.SampleRateHz), axes[axis]);
            }
        }

        var magnitudesG = new double[stop - first];
        for (var k = 0; k < magnitudesG.Length; k++)
        {
            magnitudesG[k] = new Vector3D(axes[0][k], axes[1][k], axes[2][k]).Length / Gravity.StandardMps2;
        }

        return magnitudesG;
    }
}
