using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// Errors of a three-axis sensor: corrected = <see cref="Correction"/> (reading - <see cref="Offset"/> - temperature part).
/// </summary>
/// <param name="Offset">What it reads when there is nothing, in the unit of the reading, at the reference temperature.</param>
/// <param name="Correction">Takes off scale errors and, when known, the misalignment of the axes.</param>
public sealed record SensorCalibration(Vector3D Offset, Matrix3 Correction)
{
    /// <summary>Corrects nothing.</summary>
    public static SensorCalibration None { get; } = new(Vector3D.Zero, Matrix3.Identity);

    /// <summary>Change of the offset, unit of the reading per kelvin. Zero (default) leaves the temperature out.</summary>
    public Vector3D OffsetPerKelvin { get; init; }

    /// <summary>Temperature at which <see cref="Offset"/> holds, degrees Celsius, default 25.</summary>
    public double ReferenceTemperatureCel { get; init; } = 25;

    /// <summary>The corrected reading.</summary>
    /// <param name="reading">As the sensor gives it.</param>
    /// <param name="temperatureCel">Sensor temperature, degrees Celsius; null where it was not measured: no temperature part.</param>
    public Vector3D Apply(in Vector3D reading, double? temperatureCel = null)
    {
        var offset = temperatureCel is { } t ? Offset + ((t - ReferenceTemperatureCel) * OffsetPerKelvin) : Offset;
        return Correction * (reading - offset);
    }

    /// <summary>
    /// The same calibration with the line through two offsets taken at two temperatures (a gyroscope at rest, cold and warm).
    /// </summary>
    /// <param name="coldCel">Lower temperature, degrees Celsius.</param>
    /// <param name="coldOffset">Offset there.</param>
    /// <param name="warmCel">Higher temperature, at least 1 K more.</param>
    /// <param name="warmOffset">Offset there.</param>
    /// <exception cref="ArgumentOutOfRangeException">The temperatures are too close for a line.</exception>
    public SensorCalibration WithTemperature(double coldCel, Vector3D coldOffset, double warmCel, Vector3D warmOffset)
    {
        if (!(warmCel - coldCel >= 1))
        {
            throw new ArgumentOutOfRangeException(
                nameof(warmCel), FormattableString.Invariant($"{coldCel} and {warmCel} Cel; allowed: at least 1 K apart, the warmer second."));
        }

        return this with
        {
            Offset = coldOffset,
            OffsetPerKelvin = (warmOffset - coldOffset) / (warmCel - coldCel),
            ReferenceTemperatureCel = coldCel,
        };
    }
}

/// <summary>A calibration, or why there is none.</summary>
/// <param name="Calibration">Null when it could not be found.</param>
/// <param name="ResidualRms">Root mean square of what is left, in the unit of the reading; common practice: good below 5 mg (0.05 m/s2).</param>
/// <param name="Reason">Found and allowed, when there is no calibration; else empty.</param>
public sealed record CalibrationResult(SensorCalibration? Calibration, double? ResidualRms, string Reason)
{
    internal static CalibrationResult Refused(string reason) => new(null, null, reason);
}
