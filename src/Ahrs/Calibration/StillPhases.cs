using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>A stretch without motion, and what the sensors read in it.</summary>
/// <param name="Start">First sample.</param>
/// <param name="End">Sample after the last.</param>
/// <param name="MeanAngularRateRadps">Mean gyroscope reading, rad/s: its bias.</param>
/// <param name="MeanSpecificForceMps2">Mean accelerometer reading, m/s2.</param>
public readonly record struct StillPhase(int Start, int End, Vector3D MeanAngularRateRadps, Vector3D MeanSpecificForceMps2);

/// <summary>Finds still stretches in a recording by the rest detection of VQF.</summary>
public static class StillPhases
{
    /// <summary>All still stretches of at least the given length, in order.</summary>
    /// <param name="angularRatesRadps">Gyroscope, rad/s.</param>
    /// <param name="specificForcesMps2">Accelerometer, m/s2, as many.</param>
    /// <param name="sampleRateHz">Sample rate, Hz.</param>
    /// <param name="shortestS">Shortest stretch, s, 0.1 to 1000, default 1.</param>
    public static IReadOnlyList<StillPhase> Find(
        ReadOnlySpan<Vector3D> angularRatesRadps, ReadOnlySpan<Vector3D> specificForcesMps2, double sampleRateHz, double shortestS = 1)
    {
        SeriesInput.Check(angularRatesRadps, specificForcesMps2, default);
        Allowed.Rate(sampleRateHz);
        Allowed.Range(shortestS, 0.1, 1000);
        var detector = new RestDetector(RestLimits.Default with { MinimumTimeS = shortestS }, 1 / sampleRateHz, 1 / sampleRateHz);
        var state = default(RestState);
        var found = new List<StillPhase>();
        var start = -1;
        for (var i = 0; i <= angularRatesRadps.Length; i++)
        {
            var still = false;
            if (i < angularRatesRadps.Length)
            {
                detector.StepAngularRate(ref state, angularRatesRadps[i]);
                detector.StepSpecificForce(ref state, specificForcesMps2[i]);
                still = state.AtRest;
            }

            if (still && start < 0)
            {
                start = Math.Max(0, i + 1 - (int)Math.Round(shortestS * sampleRateHz));
            }
            else if (!still && start >= 0)
            {
                found.Add(new(start, i, Mean(angularRatesRadps[start..i]), Mean(specificForcesMps2[start..i])));
                start = -1;
            }
        }

        return found;
    }

    private static Vector3D Mean(ReadOnlySpan<Vector3D> values)
    {
        var sum = Vector3D.Zero;
        foreach (ref readonly var v in values)
        {
            sum += v;
        }

        return sum / values.Length;
    }
}
