using Saltograph.Imu;

namespace Saltograph.Simulator.Sensors;

/// <summary>
/// The sensor's low-pass and its sampling at any instant: a windowed sinc of linear phase around the instant, evaluated from
/// the finely sampled movement (time stamps as of a firmware that takes the filter's constant delay into account).
/// </summary>
internal sealed class AntiAlias
{
    private const int Phases = 128;
    private readonly double[] _taps;

    public AntiAlias(double fineRateHz, double cutoffHz, double outputRateHz)
    {
        HalfLength = (int)Math.Ceiling(6 * fineRateHz / outputRateHz);
        Length = 2 * HalfLength;
        _taps = new double[Phases * Length];
        for (var phase = 0; phase < Phases; phase++)
        {
            var sum = 0.0;
            for (var i = 0; i < Length; i++)
            {
                // Tap i weighs the fine sample floor(centre) - HalfLength + 1 + i.
                var x = i - HalfLength + 1 - ((phase + 0.5) / Phases);
                var argument = 2 * Math.PI * cutoffHz / fineRateHz * x;
                var sinc = Math.Abs(argument) < 1e-9 ? 1 : Math.Sin(argument) / argument;
                var window = 0.54 + (0.46 * Math.Cos(Math.PI * x / HalfLength));
                _taps[(phase * Length) + i] = sinc * window;
                sum += sinc * window;
            }

            for (var i = 0; i < Length; i++)
            {
                _taps[(phase * Length) + i] /= sum;
            }
        }
    }

    public int HalfLength { get; }

    public int Length { get; }

    /// <summary>Taps for an instant this far (0 to 1) after a fine sample.</summary>
    public ReadOnlySpan<double> Taps(double fraction) =>
        _taps.AsSpan(Math.Clamp((int)(fraction * Phases), 0, Phases - 1) * Length, Length);
}

/// <summary>The newest fine samples of one sensor.</summary>
internal sealed class FineHistory
{
    private readonly Vector3D[] _force;
    private readonly Vector3D[] _rate;
    private readonly int _mask;

    public FineHistory(int atLeast)
    {
        var size = 1;
        while (size < atLeast)
        {
            size *= 2;
        }

        _force = new Vector3D[size];
        _rate = new Vector3D[size];
        _mask = size - 1;
    }

    public void Store(long index, Vector3D force, Vector3D rate)
    {
        _force[index & _mask] = force;
        _rate[index & _mask] = rate;
    }

    public (Vector3D Force, Vector3D Rate) Weigh(long first, ReadOnlySpan<double> taps)
    {
        double fx = 0, fy = 0, fz = 0, rx = 0, ry = 0, rz = 0;
        for (var i = 0; i < taps.Length; i++)
        {
            var tap = taps[i];
            ref var f = ref _force[(first + i) & _mask];
            ref var r = ref _rate[(first + i) & _mask];
            fx += tap * f.X;
            fy += tap * f.Y;
            fz += tap * f.Z;
            rx += tap * r.X;
            ry += tap * r.Y;
            rz += tap * r.Z;
        }

        return (new(fx, fy, fz), new(rx, ry, rz));
    }
}
