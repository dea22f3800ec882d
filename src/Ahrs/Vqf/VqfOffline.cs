using System.Runtime.Intrinsics;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// The offline variant of <see cref="VqfFilter"/>: the bias from a run in each direction of time, then every low pass
/// forward and backward, so that there is no lag and no transient at the start.
/// </summary>
/// <remarks>
/// After the authors' program (section 4.2 of the paper describes the idea). Each direction keeps bias and covariance;
/// the two estimates are combined as independent ones. Not meant for single jumps: a 3 s mean needs some seconds.
/// Difference: an exact-zero accelerometer or magnetometer sample repeats the last one instead of entering the mean.
/// </remarks>
public static class VqfOffline
{
    /// <summary>Runs over a recording without gaps.</summary>
    /// <param name="options">What to tune.</param>
    /// <param name="sampleRateHz">Sample rate, Hz.</param>
    /// <param name="angularRateSensorRadps">Gyroscope, rad/s, finite.</param>
    /// <param name="specificForceSensorMps2">Accelerometer, m/s2, finite, as many.</param>
    /// <param name="magneticFieldSensor">Magnetometer, finite, as many; or empty for none.</param>
    /// <exception cref="ArgumentException">Lengths differ, or a number is not finite.</exception>
    public static OrientationSeries Run(
        VqfOptions options,
        double sampleRateHz,
        ReadOnlySpan<Vector3D> angularRateSensorRadps,
        ReadOnlySpan<Vector3D> specificForceSensorMps2,
        ReadOnlySpan<Vector3D> magneticFieldSensor = default)
    {
        var coefficients = VqfCoefficients.From(options, sampleRateHz);
        SeriesInput.Check(angularRateSensorRadps, specificForceSensorMps2, magneticFieldSensor);
        var length = angularRateSensorRadps.Length;
        var magnetic = !magneticFieldSensor.IsEmpty;
        var series = new OrientationSeries(length) { IsMagneticFieldDisturbed = magnetic ? new bool[length] : null };

        var onePass = new DirectionNote[length];
        RunForward(coefficients, angularRateSensorRadps, specificForceSensorMps2, magneticFieldSensor, onePass);
        RunBackward(coefficients, angularRateSensorRadps, specificForceSensorMps2, magneticFieldSensor, onePass, series);
        Level(coefficients, angularRateSensorRadps, specificForceSensorMps2, series);
        if (magnetic)
        {
            OfflineHeading.Apply(coefficients, magneticFieldSensor, series);
        }

        return series;
    }

    private static void RunForward(
        VqfCoefficients coefficients,
        ReadOnlySpan<Vector3D> rates,
        ReadOnlySpan<Vector3D> forces,
        ReadOnlySpan<Vector3D> fields,
        Span<DirectionNote> notes)
    {
        var filter = new VqfFilter(coefficients);
        for (var i = 0; i < rates.Length; i++)
        {
            Step(filter, rates[i], forces[i], fields, i);
            notes[i] = DirectionNote.Of(filter);
        }
    }

    private static void RunBackward(
        VqfCoefficients coefficients,
        ReadOnlySpan<Vector3D> rates,
        ReadOnlySpan<Vector3D> forces,
        ReadOnlySpan<Vector3D> fields,
        ReadOnlySpan<DirectionNote> forward,
        OrientationSeries series)
    {
        // Backward in time every rotation runs the other way: the rate is negated, and so is the bias found.
        var filter = new VqfFilter(coefficients);
        var either = coefficients.Options.OfflineEitherDirectionDisturbed;
        for (var i = rates.Length - 1; i >= 0; i--)
        {
            Step(filter, -rates[i], forces[i], fields, i);
            var back = DirectionNote.Of(filter);
            var ahead = forward[i];
            var information1 = ahead.BiasCovariance.Inverted();
            var information2 = back.BiasCovariance.Inverted();
            var covariance = (information1 + information2).Inverted();
            series.GyroscopeBiasSensorRadps[i] =
                covariance * ((information1 * ahead.BiasRadps) - (information2 * back.BiasRadps));
            series.GyroscopeBiasSigmaRadps[i] = coefficients.EstimatesBias
                ? Math.Sqrt(covariance.LargestRowSum) * VqfCoefficients.RadpsPerBiasUnit
                : null;
            series.IsAtRest[i] = ahead.AtRest || back.AtRest;
            if (series.IsMagneticFieldDisturbed is { } disturbed)
            {
                disturbed[i] = OfflineHeading.IsDisturbed(ahead.Magnetic, back.Magnetic, either);
            }
        }
    }

    private static void Step(
        VqfFilter filter, in Vector3D rate, in Vector3D force, ReadOnlySpan<Vector3D> fields, int i)
    {
        _ = fields.IsEmpty ? filter.Update(rate, force) : filter.Update(rate, force, fields[i]);
    }

    private static void Level(
        VqfCoefficients coefficients, ReadOnlySpan<Vector3D> rates, ReadOnlySpan<Vector3D> forces, OrientationSeries series)
    {
        var length = rates.Length;
        var meanInertial = new Vector256<double>[length];
        var inertialFromSensor = Rotation.Identity;
        ref readonly var low = ref coefficients.SpecificForce;
        var forwardPass = default(SettlingLowPassState);
        var forceInertial = Vector3D.Zero;
        for (var i = 0; i < length; i++)
        {
            inertialFromSensor = VqfFilter.Integrate(
                inertialFromSensor, rates[i] - series.GyroscopeBiasSensorRadps[i], coefficients.GyroscopeIntervalS);
            series.EarthFromSensor[i] = inertialFromSensor;
            forceInertial = forces[i] == Vector3D.Zero ? forceInertial : inertialFromSensor.Rotate(forces[i]);
            meanInertial[i] = forwardPass.Step(low, Vector256.Create(forceInertial.X, forceInertial.Y, forceInertial.Z, 0));
        }

        if (length > 0)
        {
            var backwardPass = default(SettlingLowPassState);
            backwardPass.Settle(low, meanInertial[length - 1]);
            for (var i = length - 1; i >= 0; i--)
            {
                meanInertial[i] = backwardPass.Step(low, meanInertial[i]);
            }
        }

        var levelFromInertial = Rotation.Identity;
        for (var i = 0; i < length; i++)
        {
            var mean = new Vector3D(meanInertial[i].GetElement(0), meanInertial[i].GetElement(1), meanInertial[i].GetElement(2));
            if (mean != Vector3D.Zero)
            {
                var upLevel = levelFromInertial.Rotate(mean).Normalized();
                levelFromInertial = (VqfFilter.LevelCorrection(upLevel) * levelFromInertial).Normalized();
            }

            series.EarthFromSensor[i] = levelFromInertial * series.EarthFromSensor[i];
        }
    }

    /// <summary>What one direction knows after a sample.</summary>
    private readonly record struct DirectionNote(
        Vector3D BiasRadps, SymmetricMatrix3 BiasCovariance, bool AtRest, VqfMagneticState Magnetic)
    {
        public static DirectionNote Of(VqfFilter filter)
        {
            ref readonly var state = ref filter.State;
            return new(state.BiasRadps, state.BiasCovariance, state.Rest.AtRest, state.Magnetic);
        }
    }
}
