using Saltograph.Imu;

namespace Saltograph.Service.Recordings;

/// <summary>Finds the samples of a recording that were at the rail of their sensor.</summary>
/// <remarks>
/// With a stated full scale, an accelerometer axis at or within 0.1 per cent of it is saturated. Without one, two or more
/// consecutive samples exactly at an axis's own extreme are; an extreme that no rail can have is left out, or every
/// standing phase of a noise-free signal, and every flight at exactly 0, would count.
/// </remarks>
internal static class Saturation
{
    /// <summary>Smallest extreme that can be a rail, m/s2: a little under 2 g, the smallest range that accelerometers are made with (common practice, no source).</summary>
    public const double SmallestAccelerometerRailMps2 = 18;

    /// <summary>Smallest extreme that can be a rail, rad/s: a little under 125 deg/s, the smallest usual gyroscope range (common practice, no source).</summary>
    public const double SmallestGyroscopeRailRadps = 2.1;

    /// <summary>Share of the stated full scale from which on a sample counts as saturated: 16 bit end one count short of it.</summary>
    public const double FullScaleShare = 0.999;

    /// <summary>Marks the saturated rows.</summary>
    /// <param name="forcesMps2">Accelerometer, m/s2.</param>
    /// <param name="ratesRadps">Gyroscope, rad/s.</param>
    /// <param name="lost">Rows without a sample; they separate what lies before and after.</param>
    /// <param name="fullScaleMps2">Accelerometer full scale, m/s2; null when unknown.</param>
    public static SampleMarks[] Mark(Vector3D[] forcesMps2, Vector3D[] ratesRadps, bool[] lost, double? fullScaleMps2)
    {
        var marks = new SampleMarks[lost.Length];
        for (var axis = 0; axis < 3; axis++)
        {
            if (fullScaleMps2 is { } fullScale)
            {
                MarkBeyond(forcesMps2, lost, axis, FullScaleShare * fullScale, marks);
            }
            else
            {
                MarkRuns(forcesMps2, lost, axis, SmallestAccelerometerRailMps2, SampleMarks.AccelerometerSaturated, marks);
            }

            MarkRuns(ratesRadps, lost, axis, SmallestGyroscopeRailRadps, SampleMarks.GyroscopeSaturated, marks);
        }

        return marks;
    }

    private static void MarkBeyond(Vector3D[] values, bool[] lost, int axis, double limit, SampleMarks[] marks)
    {
        for (var i = 0; i < values.Length; i++)
        {
            if (!lost[i] && Math.Abs(Component(values[i], axis)) >= limit)
            {
                marks[i] |= SampleMarks.AccelerometerSaturated;
            }
        }
    }

    private static void MarkRuns(Vector3D[] values, bool[] lost, int axis, double smallestRail, SampleMarks mark, SampleMarks[] marks)
    {
        var (lowest, highest) = (double.PositiveInfinity, double.NegativeInfinity);
        for (var i = 0; i < values.Length; i++)
        {
            if (!lost[i])
            {
                lowest = Math.Min(lowest, Component(values[i], axis));
                highest = Math.Max(highest, Component(values[i], axis));
            }
        }

        for (var i = 1; i < values.Length; i++)
        {
            var value = Component(values[i], axis);
            var atRail = (value == highest && highest >= smallestRail) || (value == lowest && lowest <= -smallestRail);
            if (atRail && !lost[i] && !lost[i - 1] && Component(values[i - 1], axis) == value)
            {
                marks[i - 1] |= mark;
                marks[i] |= mark;
            }
        }
    }

    private static double Component(Vector3D vector, int axis) => axis switch { 0 => vector.X, 1 => vector.Y, _ => vector.Z };
}
