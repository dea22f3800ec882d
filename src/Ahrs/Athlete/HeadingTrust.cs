using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// How far the estimated bias and scale may turn the heading. Without rest they come from the tilt alone, which shows the
/// vertical part last and worst; an unsure vertical bias does no harm to the tilt, but turns the heading for good.
/// </summary>
/// <param name="BiasShare">Share of the vertical part of the bias that is used, 0 to 1.</param>
/// <param name="ScaleShare">Share of the vertical part of the scale error that is used, 0 to 1.</param>
internal readonly record struct HeadingTrust(double BiasShare, double ScaleShare)
{
    // Half at these uncertainties: 15 deg in a minute, and 0.6 deg in a whole turn.
    private const double BiasSigmaRadps = 0.25 * Angles.RadPerDeg;
    private const double ScaleSigma = 0.0017;

    /// <summary>From the covariance of the errors and the vertical in the sensor frame.</summary>
    public static HeadingTrust Of(ReadOnlySpan<double> covariance, in Vector3D upSensor) => new(
        Share(Along(covariance, ErrorIndex.Bias, upSensor), BiasSigmaRadps),
        Share(Along(covariance, ErrorIndex.Scale, upSensor), ScaleSigma));

    /// <summary>The rate that turns the heading as far as the corrections are trusted; its tilting part is left as it is.</summary>
    /// <param name="rate">Fully corrected rate.</param>
    /// <param name="reading">Reading less bias.</param>
    /// <param name="bias">Bias.</param>
    /// <param name="scale">Scale error.</param>
    /// <param name="upSensor">Unit vertical in the sensor frame.</param>
    public Vector3D Apply(in Vector3D rate, in Vector3D reading, in Vector3D bias, in Vector3D scale, in Vector3D upSensor)
    {
        var scaled = (scale.X * reading.X * upSensor.X) + (scale.Y * reading.Y * upSensor.Y) + (scale.Z * reading.Z * upSensor.Z);
        var untrusted = ((1 - BiasShare) * Vector3D.Dot(bias, upSensor)) + ((1 - ScaleShare) * scaled);
        return rate + (untrusted * upSensor);
    }

    /// <summary>Variance along a direction.</summary>
    private static double Along(ReadOnlySpan<double> covariance, int first, in Vector3D direction)
    {
        const int N = ErrorIndex.Count;
        var x = covariance[(first * N) + first];
        var y = covariance[((first + 1) * N) + first + 1];
        var z = covariance[((first + 2) * N) + first + 2];
        var xy = covariance[(first * N) + first + 1];
        var xz = covariance[(first * N) + first + 2];
        var yz = covariance[((first + 1) * N) + first + 2];
        return (x * direction.X * direction.X) + (y * direction.Y * direction.Y) + (z * direction.Z * direction.Z)
            + (2 * ((xy * direction.X * direction.Y) + (xz * direction.X * direction.Z) + (yz * direction.Y * direction.Z)));
    }

    private static double Share(double variance, double sigma)
    {
        // Steep: at half the limit all but 0.4 per cent is used, or a bias of 0.5 deg/s would still turn the heading.
        var ratio = Math.Max(0, variance) / (sigma * sigma);
        return 1 / (1 + (ratio * ratio * ratio * ratio));
    }
}
