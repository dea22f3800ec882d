using Saltograph.Imu;

namespace Saltograph.Ahrs.Tests;

/// <summary>
/// A random smooth rotation about a fixed point with bounded acceleration, and what ideal sensors read. Field: 20 uT north,
/// 40 uT down (middle Europe, rounded).
/// </summary>
internal sealed class Motion
{
    private readonly double _rateHz;

    public Motion(int seed, double rateHz, double seconds, Rotation? turnedBy = null, bool accelerates = true, double fastestRadps = 4)
    {
        _rateHz = rateHz;
        var random = new Random(seed);
        Vector3D Draw(double scale) => scale * new Vector3D(
            (2 * random.NextDouble()) - 1, (2 * random.NextDouble()) - 1, (2 * random.NextDouble()) - 1);
        Start = new Rotation(random.NextDouble() - 0.5, random.NextDouble() - 0.5, random.NextDouble() - 0.5, random.NextDouble() - 0.5).Normalized();
        Start = (turnedBy ?? Rotation.Identity) * Start;
        var rateAmplitude = Draw(fastestRadps);
        var forceAmplitude = Draw(accelerates ? 3 : 0);
        var rateHzs = Draw(1);
        var phase = Draw(3);

        Length = (int)Math.Round(seconds * rateHz);
        AngularRate = new Vector3D[Length];
        SpecificForce = new Vector3D[Length];
        MagneticField = new Vector3D[Length];
        var q = Start;
        for (var i = 0; i < Length; i++)
        {
            var t = i / rateHz;
            AngularRate[i] = new(
                rateAmplitude.X * Math.Sin((6 * rateHzs.X * t) + phase.X),
                rateAmplitude.Y * Math.Sin((6 * rateHzs.Y * t) + phase.Y),
                rateAmplitude.Z * Math.Sin((6 * rateHzs.Z * t) + phase.Z));
            q = (q * Rotation.FromRotationVector(AngularRate[i] / rateHz)).Normalized();
            var force = new Vector3D(0, 0, Gravity.StandardMps2) + (Math.Sin(8 * t) * forceAmplitude);
            SpecificForce[i] = q.Inverse.Rotate(force);
            MagneticField[i] = q.Inverse.Rotate(new(0, 20, -40));
        }
    }

    public Rotation Start { get; }

    public int Length { get; }

    public Vector3D[] AngularRate { get; }

    public Vector3D[] SpecificForce { get; }

    public Vector3D[] MagneticField { get; }

    public ImuSample Sample(int i) => new(SampleTime.FromSeconds(i / _rateHz), SpecificForce[i], AngularRate[i]);
}
