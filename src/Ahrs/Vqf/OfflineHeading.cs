using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>Turns a level series onto magnetic north: the heading filter forward and, over its result, backward.</summary>
internal static class OfflineHeading
{
    public static void Apply(VqfCoefficients coefficients, ReadOnlySpan<Vector3D> fields, OrientationSeries series)
    {
        var headingsRad = new double[fields.Length];
        var headingRad = 0.0;
        for (var i = 0; i < fields.Length; i++)
        {
            if (fields[i] != Vector3D.Zero)
            {
                var fieldLevel = series.EarthFromSensor[i].Rotate(fields[i]);
                headingRad = Math.Atan2(fieldLevel.X, fieldLevel.Y);
            }

            headingsRad[i] = headingRad;
        }

        var disturbed = series.IsMagneticFieldDisturbed!;
        Filter(coefficients, headingsRad, disturbed, backward: false);
        Filter(coefficients, headingsRad, disturbed, backward: true);
        for (var i = 0; i < fields.Length; i++)
        {
            series.EarthFromSensor[i] = Rotation.AboutVertical(headingsRad[i]) * series.EarthFromSensor[i];
        }
    }

    /// <summary>Which samples count as disturbed, from what each direction says.</summary>
    /// <remarks>
    /// "Either" lets a direction speak only once it knows a reference field; where neither does, the sample is disturbed.
    /// </remarks>
    public static bool IsDisturbed(in VqfMagneticState ahead, in VqfMagneticState back, bool either)
    {
        if (!either)
        {
            return ahead.Disturbed && back.Disturbed;
        }

        var aheadKnows = ahead.ReferenceNorm > 0;
        var backKnows = back.ReferenceNorm > 0;
        return !(aheadKnows || backKnows) || (aheadKnows && ahead.Disturbed) || (backKnows && back.Disturbed);
    }

    private static void Filter(VqfCoefficients coefficients, Span<double> headingsRad, ReadOnlySpan<bool> disturbed, bool backward)
    {
        var magnetic = new VqfMagneticState { StartGain = 1 };
        var headingRad = 0.0;
        for (var k = 0; k < headingsRad.Length; k++)
        {
            var i = backward ? headingsRad.Length - 1 - k : k;
            headingRad = MagneticHeading.Correct(ref magnetic, coefficients, headingRad, headingsRad[i], disturbed[i]);
            headingsRad[i] = headingRad;
        }
    }
}
