using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>From smoothed steps to every sample.</summary>
internal static class SampleSeries
{
    public static void Fill(
        AthleteCoefficients coefficients,
        in AthleteInput input,
        ReadOnlySpan<Rotation> forward,
        List<int> endOfStep,
        ReadOnlySpan<AthleteTrace.Note> steps,
        ReadOnlySpan<SmoothedStep> smoothed,
        OrientationSeries series)
    {
        if (steps.IsEmpty)
        {
            // Too short for a single step: the forward estimate is all there is.
            forward.CopyTo(series.EarthFromSensor);
            return;
        }

        var inertial = Integrate(coefficients, input, forward, endOfStep, smoothed, series);
        var levelFromInertial = Rotation.Identity;
        var step = 0;
        for (var i = 0; i < input.Length; i++)
        {
            while (step < steps.Length - 1 && i > endOfStep[step])
            {
                step++;
            }

            // Before the first step the vertical is that of its beginning; after the last, that of its end.
            var start = step > 0 ? endOfStep[step - 1] : Math.Max(-1, endOfStep[0] - coefficients.SamplesPerStep);
            var at = Math.Clamp(i, Math.Max(start, 0), endOfStep[step]);
            var up = UpInertial(step, at, start, endOfStep[step], forward[at], smoothed, inertial[at]);
            var level = levelFromInertial.Rotate(up).Normalized();
            levelFromInertial = (VqfFilter.LevelCorrection(level) * levelFromInertial).Normalized();
            series.EarthFromSensor[i] = levelFromInertial * inertial[i];
        }
    }

    /// <summary>The smoothed vertical at a sample, in the frame that the smoothed gyroscope keeps.</summary>
    private static Vector3D UpInertial(
        int step, int at, int start, int end, in Rotation forward, ReadOnlySpan<SmoothedStep> smoothed, in Rotation inertial)
    {
        // Inside a step the forward estimate drifts with the gyroscope: its error runs from that after the last correction
        // to that before the next, nearly straight in a tenth of a second.
        var share = end > start ? (double)(at - start) / (end - start) : 1;
        ref readonly var next = ref smoothed[step];
        var fromX = step > 0 ? smoothed[step - 1].After[0] : next.Before[0];
        var fromY = step > 0 ? smoothed[step - 1].After[1] : next.Before[1];
        var tilt = new Vector3D(
            fromX + (share * (next.Before[0] - fromX)), fromY + (share * (next.Before[1] - fromY)), 0);
        var levelFromSensor = Rotation.FromRotationVector(tilt) * forward;
        return inertial.Rotate(levelFromSensor.Inverse.Rotate(Vector3D.UnitZ));
    }

    private static Rotation[] Integrate(
        AthleteCoefficients coefficients, in AthleteInput input, ReadOnlySpan<Rotation> forward, List<int> endOfStep, ReadOnlySpan<SmoothedStep> smoothed, OrientationSeries series)
    {
        var inertial = new Rotation[input.Length];
        var q = Rotation.Identity;
        var step = 0;
        for (var i = 0; i < input.Length; i++)
        {
            while (step < smoothed.Length - 1 && i > endOfStep[step])
            {
                step++;
            }

            ref readonly var s = ref smoothed[step];
            var reading = input.Rates[i] - s.BiasRadps;
            var rate = new Vector3D(reading.X * (1 - s.Scale.X), reading.Y * (1 - s.Scale.Y), reading.Z * (1 - s.Scale.Z));
            rate = s.Heading.Apply(rate, reading, s.BiasRadps, s.Scale, AthleteFilter.UpSensor(forward[i]));
            q = VqfFilter.Integrate(q, rate, coefficients.IntervalS);
            inertial[i] = q;
            series.GyroscopeBiasSensorRadps[i] = s.BiasRadps;
            series.GyroscopeBiasSigmaRadps[i] = s.BiasSigmaRadps;
        }

        return inertial;
    }
}
