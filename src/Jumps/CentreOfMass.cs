using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>
/// Vertical specific force and velocity of the centre of mass over the window of one jump, put together from the trunk and
/// the shanks: what the floor gives, per kilogram; zero in the air whatever the legs do.
/// </summary>
/// <remarks>
/// <para>
/// <see cref="BodyForce"/> does the same sample by sample for straight legs. Here the whole window is known, so that each
/// shank is read at the trunk's own instants and its angular acceleration is taken: a shank is a rigid body, so that
/// sensor and gyroscope give the acceleration of the knee too, a + alpha x r + omega x (omega x r), however the knee is bent.
/// </para>
/// <para>
/// Masses after P. de Leva 1996, J Biomech 29:1223-1230, women (second hand): thigh 0.1478 with its centre 0.3612 of the way
/// from hip to knee; shank and foot 0.0610 with their centre 0.57 of the shank from the knee, the foot pointed. The sensor sits
/// at 0.80 of the shank. The hips are taken to move like the trunk's sensor, and so are head and arms.
/// </para>
/// </remarks>
internal sealed class CentreOfMass
{
    private const double ThighMass = 0.1478;
    private const double ThighCentre = 0.3612;
    private const double LowerLegMass = 0.0610;
    private const double LowerLegCentre = 0.57 / 0.80;

    private const double KneeWeight = (ThighMass * ThighCentre) + (LowerLegMass * (1 - LowerLegCentre));
    private const double SensorWeight = LowerLegMass * LowerLegCentre;

    // From the sensor up to the knee, for a stature of 1.55 m. 5 cm more or less changes the force in simulated flights by under 0.02 g.
    private const double SensorToKneeM = 0.30;

    // Half the stretch over which the rate is differentiated: noise of 0.1 deg/s becomes 0.1 m/s2 at the knee.
    private const double HalfStepS = 0.005;

    private readonly double _sampleRateHz;
    private readonly SampleTime[] _times;
    private readonly double[] _forceUpMps2;
    private readonly LocalSignal _velocityUpMps;

    private CentreOfMass(double sampleRateHz, SampleTime[] times, double[] forceUpMps2, double gravityMps2)
    {
        (_sampleRateHz, _times, _forceUpMps2) = (sampleRateHz, times, forceUpMps2);
        var velocity = new double[times.Length];
        for (var i = 1; i < times.Length; i++)
        {
            velocity[i] = velocity[i - 1] + ((times[i] - times[i - 1]) * (((forceUpMps2[i - 1] + forceUpMps2[i]) / 2) - gravityMps2));
        }

        _velocityUpMps = LocalSignal.Of(times, velocity, sampleRateHz, cutoffHz: null);
    }

    /// <summary>Puts the window together from what the tracks keep of it.</summary>
    /// <param name="trunk">Trunk, not empty.</param>
    /// <param name="left">Left shank, when there is one; a missing leg is taken to move like the trunk.</param>
    /// <param name="right">Right shank.</param>
    /// <param name="from">Start of the window.</param>
    /// <param name="to">End of the window.</param>
    public static CentreOfMass Over(SampleTrack trunk, SampleTrack? left, SampleTrack? right, SampleTime from, SampleTime to)
    {
        var first = trunk.IndexAtOrAfter(from);
        var end = first;
        while (end < trunk.End && trunk[end].Time <= to)
        {
            end++;
        }

        var times = new SampleTime[end - first];
        var force = new double[end - first];
        for (var i = first; i < end; i++)
        {
            times[i - first] = trunk[i].Time;
            force[i - first] = trunk[i].SpecificForceEarthMps2.Z;
        }

        var trunkForce = force.AsSpan().ToArray();
        AddLeg(left, times, trunkForce, force);
        AddLeg(right, times, trunkForce, force);
        return new(trunk.SampleRateHz, times, force, trunk.GravityReferenceMps2);
    }

    /// <summary>Change of the upward velocity between two instants, m/s; held outside the window.</summary>
    public double VelocityChangeMps(SampleTime from, SampleTime to) => _velocityUpMps.At(to) - _velocityUpMps.At(from);

    /// <summary>The force over the window, m/s2, low-passed without delay.</summary>
    public LocalSignal ForceUpMps2(double cutoffHz) => LocalSignal.Of(_times, _forceUpMps2, _sampleRateHz, cutoffHz);

    private static void AddLeg(SampleTrack? shank, SampleTime[] times, double[] trunkForce, double[] force)
    {
        if (shank is null || shank.IsEmpty || times.Length == 0)
        {
            return;
        }

        var half = Math.Max(1, (int)Math.Round(HalfStepS * shank.SampleRateHz));
        var index = shank.IndexAtOrAfter(times[0]);
        var (before, after) = (0.0, 0.0);
        var read = -1L;
        for (var i = 0; i < times.Length; i++)
        {
            while (index < shank.End && shank[index].Time < times[i])
            {
                index++;
            }

            if (index <= shank.Begin || index >= shank.End
                || times[i] - shank[index - 1].Time > BodyForce.FreshWithinS || shank[index].Time - times[i] > BodyForce.FreshWithinS)
            {
                continue;
            }

            if (read != index)
            {
                (before, after) = (ForceUpMps2(shank, index - 1, half), ForceUpMps2(shank, index, half));
                read = index;
            }

            var share = (times[i] - shank[index - 1].Time) / (shank[index].Time - shank[index - 1].Time);
            force[i] += before + (share * (after - before)) - (Weight(shank) * trunkForce[i]);
        }
    }

    private static double Weight(SampleTrack shank) =>
        shank.UpSensor is null ? BodyForce.ShankWeight : KneeWeight + SensorWeight;

    /// <summary>The leg's part that does not move with the hips: mass share times vertical specific force.</summary>
    private static double ForceUpMps2(SampleTrack shank, long index, int half)
    {
        ref readonly var point = ref shank[index];
        var sensor = point.SpecificForceEarthMps2.Z;
        if (shank.UpSensor is not { } upSensor)
        {
            return BodyForce.ShankWeight * sensor;
        }

        var from = Math.Max(shank.Begin, index - half);
        var to = Math.Min(shank.End - 1, index + half);
        var acceleration = (shank[to].AngularRateEarthRadps - shank[from].AngularRateEarthRadps) / (shank[to].Time - shank[from].Time);
        var rate = point.AngularRateEarthRadps;
        var arm = SensorToKneeM * point.EarthFromSensor.Rotate(upSensor);
        var knee = sensor + (Vector3D.Cross(acceleration, arm) + Vector3D.Cross(rate, Vector3D.Cross(rate, arm))).Z;
        return (KneeWeight * knee) + (SensorWeight * sensor);
    }
}
