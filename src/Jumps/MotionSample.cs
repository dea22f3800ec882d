using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>One reading of one site with its orientation known: what the detection works on.</summary>
/// <param name="Time">Hall time (or the time base of a file).</param>
/// <param name="SpecificForceSensorMps2">Accelerometer in the sensor frame, m/s2.</param>
/// <param name="AngularRateSensorRadps">Gyroscope in the sensor frame, bias removed, rad/s.</param>
/// <param name="EarthFromSensor">Orientation; z of the earth frame is up, its heading may be arbitrary.</param>
/// <param name="Marks">What is known against the reading.</param>
public readonly record struct MotionSample(
    SampleTime Time,
    Vector3D SpecificForceSensorMps2,
    Vector3D AngularRateSensorRadps,
    Rotation EarthFromSensor,
    SampleMarks Marks);
