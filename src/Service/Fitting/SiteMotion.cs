using Saltograph.Imu;

namespace Saltograph.Service.Fitting;

/// <summary>What one sensor felt in the last half minute, in ticks of 50 ms.</summary>
internal sealed class SiteMotion(Site site)
{
    /// <summary>Length of a tick, s.</summary>
    public const double TickS = 0.05;

    private const int Kept = 1200;
    private const double StillForceMps2 = 0.25;
    private const double StillRateRadps = 0.2;
    private const double MovesForceMps2 = 0.3;
    private const double MovesRateRadps = 0.3;

    private readonly Tick[] _ticks = new Tick[Kept];
    private Tick _open;
    private long _openIndex = -1;
    private Vector3D _lastForce;
    private Vector3D _lastRate;
    private Vector3D _restRate;
    private bool _hasLast;

    /// <summary>Where the roster puts it.</summary>
    public Site Site => site;

    /// <summary>Time of the newest sample; null before the first.</summary>
    public SampleTime? Newest { get; private set; }

    /// <summary>The newest tick that is full; -1 before the first.</summary>
    public long LastFullTick => _openIndex - 1;

    /// <summary>Samples at a rail.</summary>
    public int Clipped { get; private set; }

    /// <summary>Specific force at rest, sensor frame.</summary>
    public Vector3D RestMps2 { get; private set; }

    /// <summary>Noise of the gyroscope at rest, per axis.</summary>
    public double GyroscopeNoiseRadps { get; private set; }

    /// <summary>Noise of the accelerometer at rest, per axis.</summary>
    public double AccelerometerNoiseMps2 { get; private set; }

    /// <summary>A time as ticks.</summary>
    public static long Ticks(double s) => (long)Math.Round(s / TickS);

    /// <summary>Takes a sample; one that is older than the open tick is left out.</summary>
    public void Push(in ImuSample sample)
    {
        Clipped += (sample.Marks & (SampleMarks.AccelerometerSaturated | SampleMarks.GyroscopeSaturated)) != SampleMarks.None ? 1 : 0;
        var index = (long)Math.Floor(sample.Time.Microseconds / (TickS * 1e6));
        if (index < _openIndex)
        {
            return;
        }

        if (index > _openIndex)
        {
            Close(index);
        }

        Newest = sample.Time;
        _open.Count++;
        _open.Force += sample.SpecificForceSensorMps2;
        _open.Rate += sample.AngularRateSensorRadps;
        _open.RateSquared += sample.AngularRateSensorRadps.LengthSquared;
        _open.LargestMps2 = Math.Max(_open.LargestMps2, Math.Abs(sample.SpecificForceSensorMps2.Length - Gravity.StandardMps2));
        if (_hasLast)
        {
            _open.Steps++;
            _open.ForceStepSquared += (sample.SpecificForceSensorMps2 - _lastForce).LengthSquared;
            _open.RateStepSquared += (sample.AngularRateSensorRadps - _lastRate).LengthSquared;
        }

        (_lastForce, _lastRate, _hasLast) = (sample.SpecificForceSensorMps2, sample.AngularRateSensorRadps, true);
    }

    /// <summary>Largest difference of the magnitude to gravity in a tick, m/s2.</summary>
    public double LargestMps2(long tick) => At(tick).LargestMps2;

    /// <summary>Whether it was still in the time before the end of a tick: neither turned nor felt another force.</summary>
    public bool IsStill(long tick, double forS)
    {
        var first = tick - Ticks(forS) + 1;
        var mean = MeanForce(first, tick);
        for (var i = first; i <= tick; i++)
        {
            var at = At(i);
            if (at.Count == 0 || (at.MeanForce - mean).Length > StillForceMps2 || Math.Sqrt(at.RateSquared / at.Count) > StillRateRadps)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Whether it moves in a tick, once its rest is known.</summary>
    public bool Moves(long tick)
    {
        var at = At(tick);
        return at.Count > 0 && ((at.MeanForce - RestMps2).Length > MovesForceMps2 || ((at.Rate / at.Count) - _restRate).Length > MovesRateRadps);
    }

    /// <summary>Learns what it reads at rest.</summary>
    public void LearnRest(long first, long last)
    {
        RestMps2 = MeanForce(first, last);
        var (count, steps, forceSteps, rateSteps, rate) = (0, 0, 0.0, 0.0, Vector3D.Zero);
        for (var i = first; i <= last; i++)
        {
            var at = At(i);
            (count, steps, forceSteps, rateSteps, rate) = (count + at.Count, steps + at.Steps, forceSteps + at.ForceStepSquared, rateSteps + at.RateStepSquared, rate + at.Rate);
        }

        // A difference of two has twice the variance; three axes are added in it.
        _restRate = rate / count;
        AccelerometerNoiseMps2 = Math.Sqrt(forceSteps / steps / 6);
        GyroscopeNoiseRadps = Math.Sqrt(rateSteps / steps / 6);
    }

    /// <summary>Height above the start at its highest and at the end, m: twice integrated along the gravity of the rest, still at both ends.</summary>
    public (double HighestM, double EndM) Rise(long first, long last)
    {
        var up = RestMps2.Normalized();
        var restMps2 = RestMps2.Length;
        var velocities = new double[last - first + 2];
        for (var i = first; i <= last; i++)
        {
            var at = At(i);
            var upMps2 = at.Count == 0 ? 0 : Vector3D.Dot(at.MeanForce, up) - restMps2;
            velocities[i - first + 1] = velocities[i - first] + (upMps2 * TickS);
        }

        var (height, highest) = (0.0, 0.0);
        for (var i = 1; i < velocities.Length; i++)
        {
            double Drift(int at) => velocities[^1] * at / (velocities.Length - 1);
            height += TickS * (velocities[i - 1] - Drift(i - 1) + velocities[i] - Drift(i)) / 2;
            highest = Math.Max(highest, height);
        }

        return (highest, height);
    }

    /// <summary>How much it moved: root mean square of the force's change from the rest, and 1 m/s2 for each rad/s.</summary>
    public double MovedMps2(long first, long last)
    {
        var (force, rate, count) = (0.0, 0.0, 0);
        for (var i = first; i <= last; i++)
        {
            var at = At(i);
            if (at.Count > 0)
            {
                force += (at.MeanForce - RestMps2).LengthSquared;
                rate += ((at.Rate / at.Count) - _restRate).LengthSquared;
                count++;
            }
        }

        return count == 0 ? 0 : Math.Sqrt(force / count) + Math.Sqrt(rate / count);
    }

    private void Close(long next)
    {
        if (_openIndex >= 0)
        {
            _ticks[_openIndex % Kept] = _open;
        }

        // Ticks in which nothing came are empty.
        for (var i = Math.Max(_openIndex + 1, next - Kept); i < next; i++)
        {
            _ticks[i % Kept] = default;
        }

        _hasLast &= next == _openIndex + 1;
        (_open, _openIndex) = (default, next);
    }

    private Tick At(long tick) => tick > _openIndex - Kept && tick < _openIndex && tick >= 0 ? _ticks[tick % Kept] : default;

    private Vector3D MeanForce(long first, long last)
    {
        var (sum, count) = (Vector3D.Zero, 0);
        for (var i = first; i <= last; i++)
        {
            (sum, count) = (sum + At(i).Force, count + At(i).Count);
        }

        return count == 0 ? Vector3D.Zero : sum / count;
    }

    private struct Tick
    {
        public int Count;
        public int Steps;
        public Vector3D Force;
        public Vector3D Rate;
        public double RateSquared;
        public double LargestMps2;
        public double ForceStepSquared;
        public double RateStepSquared;

        public readonly Vector3D MeanForce => Count == 0 ? Vector3D.Zero : Force / Count;
    }
}
