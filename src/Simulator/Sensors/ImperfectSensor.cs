using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Sensors;

/// <summary>One six-axis reading as the part gives it: counts of 16 bits, when it was taken and when it says it was.</summary>
internal readonly record struct RawSample(double TrueS, double StatedS, short Ax, short Ay, short Az, short Gx, short Gy, short Gz);

/// <summary>Errors, range and resolution of one part in its housing.</summary>
internal sealed class ImperfectSensor
{
    private readonly Frame _housing;
    private readonly Pcg32 _noise;
    private readonly Vector3D _accelerometerBias;
    private readonly double[] _accelerometerMatrix;
    private readonly double[] _gyroscopeMatrix;
    private readonly double[] _forceSensitivity;
    private readonly double _accelerometerNoise;
    private readonly double _gyroscopeNoise;
    private readonly double _walkPerSample;
    private Vector3D _gyroscopeBias;

    public ImperfectSensor(Site site, SensorOptions options, Frame housing, Pcg32 random)
    {
        _housing = housing;
        _noise = random.Fork(7);
        var milliG = 1e-3 * Gravity.StandardMps2;
        _accelerometerBias = Vector(random, options.AccelerometerBiasMilliG * milliG);
        _gyroscopeBias = Vector(random, options.GyroscopeBiasDps * Angles.RadPerDeg);
        _accelerometerMatrix = Matrix(random, options.AccelerometerScalePercent, options.CrossAxisPercent);
        _gyroscopeMatrix = Matrix(random, options.GyroscopeScalePercent, options.CrossAxisPercent);
        _forceSensitivity = new double[9];
        for (var i = 0; i < 9; i++)
        {
            _forceSensitivity[i] = random.Normal() * options.GyroscopeForceSensitivityDpsPerG * Angles.RadPerDeg / Gravity.StandardMps2;
        }

        var rootBandwidth = Math.Sqrt(options.BandwidthShare * options.SampleRateHz);
        _accelerometerNoise = options.AccelerometerNoiseMicroGPerRootHz * 1e-6 * Gravity.StandardMps2 * rootBandwidth;
        _gyroscopeNoise = options.GyroscopeNoiseDpsPerRootHz * Angles.RadPerDeg * rootBandwidth;
        _walkPerSample = options.GyroscopeBiasWalkDps * Angles.RadPerDeg / Math.Sqrt(options.SampleRateHz);
        var rangeG = site == Site.Trunk ? options.TrunkRangeG : options.AnkleRangeG;
        AccelerometerScaleMps2 = rangeG * Gravity.StandardMps2 / 32768;
        GyroscopeScaleRadps = options.GyroscopeRangeDps * Angles.RadPerDeg / 32768;
    }

    /// <summary>m/s2 per count.</summary>
    public double AccelerometerScaleMps2 { get; }

    /// <summary>rad/s per count.</summary>
    public double GyroscopeScaleRadps { get; }

    /// <summary>Reads true values given in segment axes.</summary>
    public RawSample Read(double trueS, double statedS, Vector3D forceSegment, Vector3D rateSegment)
    {
        var force = _housing.Inward(forceSegment);
        var rate = _housing.Inward(rateSegment);
        var a = Apply(_accelerometerMatrix, force) + _accelerometerBias + Vector(_noise, _accelerometerNoise);
        var g = Apply(_gyroscopeMatrix, rate) + _gyroscopeBias + Apply(_forceSensitivity, force) + Vector(_noise, _gyroscopeNoise);
        if (_walkPerSample > 0)
        {
            _gyroscopeBias += Vector(_noise, _walkPerSample);
        }

        return new(
            trueS, statedS, Counts(a.X / AccelerometerScaleMps2), Counts(a.Y / AccelerometerScaleMps2), Counts(a.Z / AccelerometerScaleMps2),
            Counts(g.X / GyroscopeScaleRadps), Counts(g.Y / GyroscopeScaleRadps), Counts(g.Z / GyroscopeScaleRadps));
    }

    /// <summary>The reading in SI units, marked where an axis was at its rail.</summary>
    public ImuSample ToSample(in RawSample raw)
    {
        var marks = SampleMarks.None;
        if (AtRail(raw.Ax) || AtRail(raw.Ay) || AtRail(raw.Az))
        {
            marks |= SampleMarks.AccelerometerSaturated;
        }

        if (AtRail(raw.Gx) || AtRail(raw.Gy) || AtRail(raw.Gz))
        {
            marks |= SampleMarks.GyroscopeSaturated;
        }

        return new(
            SampleTime.FromSeconds(raw.StatedS), AccelerometerScaleMps2 * new Vector3D(raw.Ax, raw.Ay, raw.Az),
            GyroscopeScaleRadps * new Vector3D(raw.Gx, raw.Gy, raw.Gz), marks);
    }

    private static bool AtRail(short count) => count is short.MinValue or short.MaxValue;

    private static short Counts(double value) => (short)Math.Clamp(Math.Round(value), short.MinValue, short.MaxValue);

    private static Vector3D Vector(Pcg32 random, double deviation) =>
        deviation == 0 ? default : deviation * new Vector3D(random.Normal(), random.Normal(), random.Normal());

    private static double[] Matrix(Pcg32 random, double scalePercent, double crossPercent)
    {
        var matrix = new double[9];
        for (var i = 0; i < 9; i++)
        {
            var draw = random.Normal() / 100;
            matrix[i] = i % 4 == 0 ? 1 + (scalePercent * draw) : crossPercent * draw;
        }

        return matrix;
    }

    private static Vector3D Apply(double[] m, Vector3D v) => new(
        (m[0] * v.X) + (m[1] * v.Y) + (m[2] * v.Z),
        (m[3] * v.X) + (m[4] * v.Y) + (m[5] * v.Z),
        (m[6] * v.X) + (m[7] * v.Y) + (m[8] * v.Z));
}
