using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// Follows the orientation of one sensor, sample by sample. One instance per sensor; not thread-safe; no allocation per
/// sample. A sample that cannot be used is refused as a value, and then nothing changes.
/// </summary>
/// <remarks>
/// Earth frame: z up. Without a magnetometer the heading is arbitrary and drifts; with one, x is east and y magnetic
/// north. Samples must follow each other at the filter's rate: bridge missing ones.
/// </remarks>
public interface IOrientationFilter
{
    /// <summary>Turns sensor vectors into the earth frame. Unit length; the identity before the first sample.</summary>
    Rotation EarthFromSensor { get; }

    /// <summary>Estimated gyroscope bias, rad/s, sensor frame; true rate = reading - bias. Zero where a filter estimates none.</summary>
    Vector3D GyroscopeBiasSensorRadps { get; }

    /// <summary>Standard uncertainty of the bias, rad/s, of the least known direction; null where a filter does not know.</summary>
    double? GyroscopeBiasSigmaRadps { get; }

    /// <summary>Whether the sensor has been lying still or the person standing still just now.</summary>
    bool IsAtRest { get; }

    /// <summary>Takes one six-axis sample; the caller vouches for its time.</summary>
    /// <param name="angularRateSensorRadps">Gyroscope, rad/s.</param>
    /// <param name="specificForceSensorMps2">Accelerometer, m/s2.</param>
    UpdateResult Update(in Vector3D angularRateSensorRadps, in Vector3D specificForceSensorMps2);

    /// <summary>Takes one nine-axis sample; the caller vouches for its time.</summary>
    /// <param name="angularRateSensorRadps">Gyroscope, rad/s.</param>
    /// <param name="specificForceSensorMps2">Accelerometer, m/s2.</param>
    /// <param name="magneticFieldSensor">Magnetometer, in any unit that stays the same (uT in this project).</param>
    UpdateResult Update(
        in Vector3D angularRateSensorRadps, in Vector3D specificForceSensorMps2, in Vector3D magneticFieldSensor);

    /// <summary>
    /// Takes one six-axis sample and checks its time: the step since the last one must be the sample interval within half
    /// an interval. A longer step is taken only when the sample is marked <see cref="SampleMarks.AfterGap"/>; it then
    /// counts as one interval, the motion inside the gap is lost.
    /// </summary>
    UpdateResult Update(in ImuSample sample);

    /// <summary>As above, with the magnetometer.</summary>
    /// <param name="sample">Gyroscope, accelerometer and time.</param>
    /// <param name="magneticFieldSensor">Magnetometer, in any unit that stays the same.</param>
    UpdateResult Update(in ImuSample sample, in Vector3D magneticFieldSensor);

    /// <summary>Back to the state before the first sample.</summary>
    void Reset();
}
