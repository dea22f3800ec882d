using Saltograph.Imu;

namespace Saltograph.Service.Recordings;

/// <summary>The rows of one sensor, in the order of the file. All arrays have one element per row.</summary>
internal sealed class Recording
{
    /// <summary>Where it came from.</summary>
    public required RecordingReference Reference { get; init; }

    /// <summary>Column <c>time_s</c>, s, increasing.</summary>
    public required double[] TimesS { get; init; }

    /// <summary>Accelerometer, sensor frame, m/s2; meaningless where <see cref="Lost"/>.</summary>
    public required Vector3D[] SpecificForcesSensorMps2 { get; init; }

    /// <summary>Gyroscope, sensor frame, rad/s; meaningless where <see cref="Lost"/>.</summary>
    public required Vector3D[] AngularRatesSensorRadps { get; init; }

    /// <summary>Magnetometer, sensor frame, uT, null where the cell is empty; null when the file has no such columns.</summary>
    public Vector3D?[]? MagneticFieldsSensorUT { get; init; }

    /// <summary>Whether the row has no sample of this sensor (an empty cell).</summary>
    public required bool[] Lost { get; init; }

    /// <summary>Saturation of each row.</summary>
    public required SampleMarks[] Marks { get; init; }

    /// <summary>Samples per second, estimated from the times of the rows with a sample.</summary>
    public required double SampleRateHz { get; init; }

    /// <summary>Number of rows.</summary>
    public int Rows => TimesS.Length;
}
