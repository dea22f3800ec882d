using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>Heading of a smoothed level series: disturbances sought in both directions of time, then the offline heading.</summary>
internal static class MagneticSeries
{
    public static void Apply(AthleteCoefficients coefficients, in AthleteInput input, OrientationSeries series)
    {
        var c = coefficients.Magnetic;
        var ahead = new VqfMagneticState[input.Length];
        Detect(coefficients, input, series, ahead, backward: false);
        var back = new VqfMagneticState[input.Length];
        Detect(coefficients, input, series, back, backward: true);
        for (var i = 0; i < input.Length; i++)
        {
            series.IsMagneticFieldDisturbed![i] = c.Options.MagneticDisturbanceRejection
                && OfflineHeading.IsDisturbed(ahead[i], back[i], c.Options.OfflineEitherDirectionDisturbed);
        }

        OfflineHeading.Apply(c, input.Fields, series);
    }

    private static void Detect(
        AthleteCoefficients coefficients, in AthleteInput input, OrientationSeries series, VqfMagneticState[] states, bool backward)
    {
        var rest = default(RestState);
        var magnetic = VqfMagneticState.Start(coefficients.Magnetic);
        for (var k = 0; k < input.Length; k++)
        {
            var i = backward ? input.Length - 1 - k : k;
            coefficients.Rest.StepAngularRate(ref rest, input.Rates[i]);
            if (input.Fields[i] != Vector3D.Zero)
            {
                MagneticHeading.DetectDisturbance(
                    ref magnetic, coefficients.Magnetic, series.EarthFromSensor[i].Rotate(input.Fields[i]), rest.MeanAngularRateRadps);
            }

            states[i] = magnetic;
        }
    }
}
