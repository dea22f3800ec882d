namespace Saltograph.Simulator.Sensors;

/// <summary>Errors and limits of the simulated sensors. Defaults: a consumer-grade part worn by an athlete.</summary>
public sealed record SensorOptions
{
    /// <summary>Output rate, Hz. 50 to 2000; default 416.</summary>
    public double SampleRateHz { get; init; } = 416;

    /// <summary>Bandwidth (-6 dB) over the rate. 0.1 to 0.45; default 0.4.</summary>
    public double BandwidthShare { get; init; } = 0.4;

    /// <summary>Gyroscope bias per axis, one deviation, deg/s. 0 to 20; default 0.5.</summary>
    public double GyroscopeBiasDps { get; init; } = 0.5;

    /// <summary>Wander of the gyroscope bias, deg/s per root second. 0 to 1; default 0.002.</summary>
    public double GyroscopeBiasWalkDps { get; init; } = 0.002;

    /// <summary>Gyroscope scale error per axis, one deviation, per cent. 0 to 10; default 0.4.</summary>
    public double GyroscopeScalePercent { get; init; } = 0.4;

    /// <summary>Gyroscope noise density, deg/s per root hertz. 0 to 1; default 0.007.</summary>
    public double GyroscopeNoiseDpsPerRootHz { get; init; } = 0.007;

    /// <summary>Gyroscope error per specific force, one deviation, deg/s per g. 0 to 1; default 0.02.</summary>
    public double GyroscopeForceSensitivityDpsPerG { get; init; } = 0.02;

    /// <summary>Accelerometer bias per axis, one deviation, milli-g. 0 to 500; default 15.</summary>
    public double AccelerometerBiasMilliG { get; init; } = 15;

    /// <summary>Accelerometer scale error per axis, one deviation, per cent. 0 to 10; default 0.3.</summary>
    public double AccelerometerScalePercent { get; init; } = 0.3;

    /// <summary>Accelerometer noise density, micro-g per root hertz. 0 to 10 000; default 140.</summary>
    public double AccelerometerNoiseMicroGPerRootHz { get; init; } = 140;

    /// <summary>Cross-axis sensitivity, one deviation, per cent. 0 to 5; default 0.3.</summary>
    public double CrossAxisPercent { get; init; } = 0.3;

    /// <summary>Largest tilt of the housing against the segment, deg. 0 to 45; default 12.</summary>
    public double MisalignmentDeg { get; init; } = 12;

    /// <summary>Whether straps are turned about the segment and housings put on any way up; default true.</summary>
    public bool StrapTurned { get; init; } = true;

    /// <summary>Accelerometer range at the trunk, g. 2 to 400; default 16.</summary>
    public double TrunkRangeG { get; init; } = 16;

    /// <summary>Accelerometer range at the ankles, g. 2 to 400; default 32.</summary>
    public double AnkleRangeG { get; init; } = 32;

    /// <summary>Gyroscope range, deg/s. 250 to 8000; default 2000.</summary>
    public double GyroscopeRangeDps { get; init; } = 2000;

    /// <summary>Error of a sensor's time on the common time base, one deviation, s. 0 to 0.1; default 0.001.</summary>
    public double ClockOffsetS { get; init; } = 0.001;

    /// <summary>Error of a sensor's crystal, one deviation, parts per million. 0 to 1000; default 15.</summary>
    public double ClockDriftPpm { get; init; } = 15;

    /// <summary>Whether strap and soft tissue ring after shocks; default true.</summary>
    public bool SoftTissue { get; init; } = true;

    /// <summary>A perfect sensor: no errors, aligned with its segment, wide range, no ringing.</summary>
    public static SensorOptions Perfect => new()
    {
        GyroscopeBiasDps = 0,
        GyroscopeBiasWalkDps = 0,
        GyroscopeScalePercent = 0,
        GyroscopeNoiseDpsPerRootHz = 0,
        GyroscopeForceSensitivityDpsPerG = 0,
        AccelerometerBiasMilliG = 0,
        AccelerometerScalePercent = 0,
        AccelerometerNoiseMicroGPerRootHz = 0,
        CrossAxisPercent = 0,
        MisalignmentDeg = 0,
        StrapTurned = false,
        TrunkRangeG = 400,
        AnkleRangeG = 400,
        GyroscopeRangeDps = 8000,
        ClockOffsetS = 0,
        ClockDriftPpm = 0,
        SoftTissue = false,
    };

    /// <summary>Throws <see cref="ArgumentException"/> that names every wrong key, what was found and what is allowed.</summary>
    public void Validate()
    {
        var faults = Faults().ToList();
        if (faults.Count > 0)
        {
#pragma warning disable MA0015 // The faulty argument is the record itself, which the message names key by key.
            throw new ArgumentException(string.Join(" ", faults));
#pragma warning restore MA0015
        }
    }

    /// <summary>What is wrong, one message per key with what was found and what is allowed; empty when nothing is.</summary>
    public IEnumerable<string> Faults()
    {
        (string Key, double Value, double Low, double High)[] limits =
        [
            (nameof(SampleRateHz), SampleRateHz, 50, 2000),
            (nameof(BandwidthShare), BandwidthShare, 0.1, 0.45),
            (nameof(GyroscopeBiasDps), GyroscopeBiasDps, 0, 20),
            (nameof(GyroscopeBiasWalkDps), GyroscopeBiasWalkDps, 0, 1),
            (nameof(GyroscopeScalePercent), GyroscopeScalePercent, 0, 10),
            (nameof(GyroscopeNoiseDpsPerRootHz), GyroscopeNoiseDpsPerRootHz, 0, 1),
            (nameof(GyroscopeForceSensitivityDpsPerG), GyroscopeForceSensitivityDpsPerG, 0, 1),
            (nameof(AccelerometerBiasMilliG), AccelerometerBiasMilliG, 0, 500),
            (nameof(AccelerometerScalePercent), AccelerometerScalePercent, 0, 10),
            (nameof(AccelerometerNoiseMicroGPerRootHz), AccelerometerNoiseMicroGPerRootHz, 0, 10_000),
            (nameof(CrossAxisPercent), CrossAxisPercent, 0, 5),
            (nameof(MisalignmentDeg), MisalignmentDeg, 0, 45),
            (nameof(TrunkRangeG), TrunkRangeG, 2, 400),
            (nameof(AnkleRangeG), AnkleRangeG, 2, 400),
            (nameof(GyroscopeRangeDps), GyroscopeRangeDps, 250, 8000),
            (nameof(ClockOffsetS), ClockOffsetS, 0, 0.1),
            (nameof(ClockDriftPpm), ClockDriftPpm, 0, 1000),
        ];
        foreach (var (key, value, low, high) in limits)
        {
            if (!(value >= low && value <= high))
            {
                yield return FormattableString.Invariant($"Sensors.{key} {value} must be inside {low} to {high}.");
            }
        }
    }
}
