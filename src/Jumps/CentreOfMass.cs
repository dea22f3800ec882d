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

    // Half the stretch over which the rate is differentiated: noise of 0.1 deg/s becomes 0.1 m/s2 at the knee.
    private const double HalfStepS = 0.005;

    private readonly double _sampleRateHz;
    private readonly SampleTime[] _times;
    private readonly double[] _forceUpMps2;
    private readonly Vector3D[] _trunkArmSlope;
    private readonly double[] _kneeSlope;
    private readonly int[] _shanksSeen;
    private readonly LocalSignal _velocityUpMps;
    private readonly ArmLengths _arms;

    private CentreOfMass(SampleTrack trunk, SampleTrack? left, SampleTrack? right, SampleTime from, SampleTime to, in ArmLengths arms)
    {
        (_sampleRateHz, _arms) = (trunk.SampleRateHz, arms);
        var first = trunk.IndexAtOrAfter(from);
        var end = first;
        while (end < trunk.End && trunk[end].Time <= to)
        {
            end++;
        }

        _times = new SampleTime[end - first];
        _forceUpMps2 = new double[_times.Length];
        _trunkArmSlope = new Vector3D[_times.Length];
        _kneeSlope = new double[_times.Length];
        _shanksSeen = new int[_times.Length];
        var half = HalfStep(trunk);
        for (var i = 0; i < _times.Length; i++)
        {
            ref readonly var point = ref trunk[first + i];
            _times[i] = point.Time;
            _forceUpMps2[i] = point.SpecificForceEarthMps2.Z;
            _trunkArmSlope[i] = point.EarthFromSensor.Inverse.Rotate(ArmSlope(trunk, first + i, half));
            _shanksSeen[i] = point.Marks == SampleMarks.None ? 0 : -Sites.Count;
        }

        var trunkForce = _forceUpMps2.AsSpan().ToArray();
        AddLeg(left, trunkForce);
        AddLeg(right, trunkForce);
        var velocity = new double[_times.Length];
        for (var i = 0; i < _times.Length; i++)
        {
            _forceUpMps2[i] += Vector3D.Dot(_trunkArmSlope[i], arms.TrunkSensorM);
            if (i > 0)
            {
                velocity[i] = velocity[i - 1]
                    + ((_times[i] - _times[i - 1]) * (((_forceUpMps2[i - 1] + _forceUpMps2[i]) / 2) - trunk.GravityReferenceMps2));
            }
        }

        _velocityUpMps = LocalSignal.Of(_times, velocity, _sampleRateHz, cutoffHz: null);
    }

    /// <summary>Puts the window together from what the tracks keep of it.</summary>
    /// <param name="trunk">Trunk, not empty.</param>
    /// <param name="left">Left shank, when there is one; a missing leg is taken to move like the trunk.</param>
    /// <param name="right">Right shank.</param>
    /// <param name="from">Start of the window.</param>
    /// <param name="to">End of the window.</param>
    /// <param name="arms">Where the sensors sit.</param>
    public static CentreOfMass Over(
        SampleTrack trunk, SampleTrack? left, SampleTrack? right, SampleTime from, SampleTime to, in ArmLengths arms) =>
        new(trunk, left, right, from, to, arms);

    /// <summary>The trunk's sample rate, Hz.</summary>
    public double SampleRateHz => _sampleRateHz;

    /// <summary>Change of the upward velocity between two instants, m/s; held outside the window.</summary>
    public double VelocityChangeMps(SampleTime from, SampleTime to) => _velocityUpMps.At(to) - _velocityUpMps.At(from);

    /// <summary>The force over the window, m/s2, low-passed without delay; unfiltered without a cutoff.</summary>
    public LocalSignal ForceUpMps2(double? cutoffHz) => LocalSignal.Of(_times, _forceUpMps2, _sampleRateHz, cutoffHz);

    /// <summary>Lets the arms learn from a stretch of free flight; nothing is learnt where a shank was not seen.</summary>
    public void Teach(BodyArms learner, SampleTime from, SampleTime to)
    {
        var slopes = new List<double[]>();
        var forces = new List<double>();
        for (var i = 0; i < _times.Length; i++)
        {
            if (_times[i] <= from || _times[i] >= to || _shanksSeen[i] < 2)
            {
                continue;
            }

            var slope = _trunkArmSlope[i];
            slopes.Add([slope.X, slope.Y, slope.Z, _kneeSlope[i]]);
            forces.Add(_forceUpMps2[i] - Vector3D.Dot(slope, _arms.TrunkSensorM)
                - (_kneeSlope[i] * (_arms.SensorToKneeM - ArmLengths.Prior.SensorToKneeM)));
        }

        learner.Learn(slopes, forces, 1 / _sampleRateHz);
    }

    private void AddLeg(SampleTrack? shank, double[] trunkForce)
    {
        if (shank is null || shank.IsEmpty || _times.Length == 0)
        {
            return;
        }

        var half = HalfStep(shank);
        var index = shank.IndexAtOrAfter(_times[0]);
        var (before, after) = (default((double Force, double KneeSlope)), default((double Force, double KneeSlope)));
        var read = -1L;
        for (var i = 0; i < _times.Length; i++)
        {
            while (index < shank.End && shank[index].Time < _times[i])
            {
                index++;
            }

            if (index <= shank.Begin || index >= shank.End
                || _times[i] - shank[index - 1].Time > BodyForce.FreshWithinS || shank[index].Time - _times[i] > BodyForce.FreshWithinS)
            {
                continue;
            }

            if (read != index)
            {
                (before, after) = (LegForce(shank, index - 1, half), LegForce(shank, index, half));
                read = index;
            }

            var share = (_times[i] - shank[index - 1].Time) / (shank[index].Time - shank[index - 1].Time);
            _forceUpMps2[i] += before.Force + (share * (after.Force - before.Force)) - (Weight(shank) * trunkForce[i]);
            _kneeSlope[i] += before.KneeSlope + (share * (after.KneeSlope - before.KneeSlope));
            _shanksSeen[i] += shank.UpSensor is null || shank[index].Marks != SampleMarks.None ? 0 : 1;
        }
    }

    private static int HalfStep(SampleTrack track) => Math.Max(1, (int)Math.Round(HalfStepS * track.SampleRateHz));

    private static double Weight(SampleTrack shank) =>
        shank.UpSensor is null ? BodyForce.ShankWeight : KneeWeight + SensorWeight;

    /// <summary>The leg's part that does not move with the hips, mass share times vertical specific force, and what a metre more to the knee adds.</summary>
    private (double Force, double KneeSlope) LegForce(SampleTrack shank, long index, int half)
    {
        ref readonly var point = ref shank[index];
        var sensor = point.SpecificForceEarthMps2.Z;
        if (shank.UpSensor is not { } upSensor)
        {
            return (BodyForce.ShankWeight * sensor, 0);
        }

        var slope = KneeWeight * Vector3D.Dot(ArmSlope(shank, index, half), point.EarthFromSensor.Rotate(upSensor));
        return (((KneeWeight + SensorWeight) * sensor) + (slope * _arms.SensorToKneeM), slope);
    }

    /// <summary>
    /// The vector whose product with an arm, both in the earth frame, is the vertical acceleration at its end against that at its
    /// beginning: alpha x r + omega x (omega x r), upward, written as a linear form of r.
    /// </summary>
    private static Vector3D ArmSlope(SampleTrack track, long index, int half)
    {
        var from = Math.Max(track.Begin, index - half);
        var to = Math.Min(track.End - 1, index + half);
        var rate = track[index].AngularRateEarthRadps;
        var acceleration = to > from
            ? (track[to].AngularRateEarthRadps - track[from].AngularRateEarthRadps) / (track[to].Time - track[from].Time)
            : Vector3D.Zero;
        return new(
            (rate.Z * rate.X) - acceleration.Y,
            (rate.Z * rate.Y) + acceleration.X,
            -((rate.X * rate.X) + (rate.Y * rate.Y)));
    }
}
