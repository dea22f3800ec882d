namespace Saltograph.Imu;

/// <summary>What is known against a sample.</summary>
[Flags]
public enum SampleMarks
{
    /// <summary>Nothing is known against it.</summary>
    None = 0,

    /// <summary>An accelerometer axis was at its rail: the true magnitude is at least what it shows.</summary>
    AccelerometerSaturated = 1,

    /// <summary>A gyroscope axis was at its rail.</summary>
    GyroscopeSaturated = 2,

    /// <summary>Samples are missing before this one.</summary>
    AfterGap = 4,

    /// <summary>The sample was not received: it bridges a gap and must not count as a measurement.</summary>
    Bridged = 8,
}

/// <summary>One six-axis reading in the sensor frame (right-handed, as printed on the housing).</summary>
/// <param name="Time">When it was taken; the clock is the caller's.</param>
/// <param name="SpecificForceSensorMps2">Accelerometer, m/s2: gravity upward at rest (+9.81), about 0 in free flight.</param>
/// <param name="AngularRateSensorRadps">Gyroscope, rad/s, right-handed.</param>
/// <param name="Marks">What is known against it.</param>
public readonly record struct ImuSample(
    SampleTime Time,
    Vector3D SpecificForceSensorMps2,
    Vector3D AngularRateSensorRadps,
    SampleMarks Marks = SampleMarks.None)
{
    /// <summary>Whether all six numbers are finite.</summary>
    public bool IsFinite => SpecificForceSensorMps2.IsFinite && AngularRateSensorRadps.IsFinite;
}
