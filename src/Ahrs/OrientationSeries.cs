using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>Orientation of a whole recording, one entry per sample in every list.</summary>
public sealed class OrientationSeries
{
    /// <summary>Makes lists of equal length.</summary>
    /// <param name="length">Number of samples.</param>
    internal OrientationSeries(int length)
    {
        EarthFromSensor = new Rotation[length];
        GyroscopeBiasSensorRadps = new Vector3D[length];
        GyroscopeBiasSigmaRadps = new double?[length];
        IsAtRest = new bool[length];
    }

    /// <summary>Number of samples.</summary>
    public int Length => EarthFromSensor.Length;

    /// <summary>Earth frame from sensor, unit length.</summary>
    public Rotation[] EarthFromSensor { get; }

    /// <summary>Gyroscope bias, rad/s, sensor frame.</summary>
    public Vector3D[] GyroscopeBiasSensorRadps { get; }

    /// <summary>Standard uncertainty of the bias, rad/s; null where unknown.</summary>
    public double?[] GyroscopeBiasSigmaRadps { get; }

    /// <summary>Whether the sensor is at rest.</summary>
    public bool[] IsAtRest { get; }

    /// <summary>Whether the magnetic field counts as disturbed; null without magnetometer.</summary>
    public bool[]? IsMagneticFieldDisturbed { get; internal init; }
}
