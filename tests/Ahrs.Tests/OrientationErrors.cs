using Saltograph.Imu;

namespace Saltograph.Ahrs.Tests;

/// <summary>Root mean square errors in degrees, as the BROAD benchmark defines them.</summary>
/// <param name="TotalDeg">Whole angle.</param>
/// <param name="HeadingDeg">About the vertical of the earth.</param>
/// <param name="InclinationDeg">The tilt that is left.</param>
internal readonly record struct OrientationErrors(double TotalDeg, double HeadingDeg, double InclinationDeg)
{
    /// <summary>
    /// Compares over the samples that count. Without a magnetometer the heading is free: the offset at the first counting
    /// sample is then taken off.
    /// </summary>
    public static OrientationErrors Of(Recording recording, IReadOnlyList<Rotation> estimate, bool freeHeading)
    {
        double total = 0, heading = 0, inclination = 0;
        var count = 0;
        Rotation? offset = freeHeading ? null : Rotation.Identity;
        for (var i = 0; i < recording.Length; i++)
        {
            if (!recording.Counts[i] || recording.Truth[i] is not { } truth)
            {
                continue;
            }

            // Earth-frame error: truth = error * estimate. Twist about z is the heading part, the rest the inclination.
            offset ??= Rotation.AboutVertical((truth * estimate[i].Inverse).HeadingRad);
            var e = truth * (offset.Value * estimate[i]).Inverse;
            var w = Math.Abs(e.W);
            total += Square(2 * Math.Acos(Math.Min(w, 1)));
            heading += Square(2 * Math.Atan2(Math.Abs(e.Z), w));
            inclination += Square(2 * Math.Acos(Math.Min(Math.Sqrt((e.W * e.W) + (e.Z * e.Z)), 1)));
            count++;
        }

        return new(Rms(total, count), Rms(heading, count), Rms(inclination, count));
    }

    private static double Rms(double sum, int count) => Math.Sqrt(sum / count) * Angles.DegPerRad;

    private static double Square(double value) => value * value;
}
