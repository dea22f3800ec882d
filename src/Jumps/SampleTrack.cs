using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>One kept sample of a site, in the earth frame, with its running integrals.</summary>
internal struct TrackPoint
{
    /// <summary>Time of the sample.</summary>
    public SampleTime Time;

    /// <summary>Specific force in the sensor frame, m/s2: the shock is filtered there, axis by axis.</summary>
    public Vector3D SpecificForceSensorMps2;

    /// <summary>Specific force in the earth frame, m/s2.</summary>
    public Vector3D SpecificForceEarthMps2;

    /// <summary>Angular rate in the earth frame, rad/s.</summary>
    public Vector3D AngularRateEarthRadps;

    /// <summary>Orientation.</summary>
    public Rotation EarthFromSensor;

    /// <summary>Running integral of the vertical acceleration, m/s: only differences mean something.</summary>
    public double VelocityUpMps;

    /// <summary>Vertical specific force at the centre of mass, m/s2 (see <see cref="BodyForce"/>); at a shank, its own.</summary>
    public double BodyForceUpMps2;

    /// <summary>Running integral of the vertical acceleration of the centre of mass, m/s: only differences mean something.</summary>
    public double BodyVelocityUpMps;

    /// <summary>Running integral of the turn rate about the vertical, rad: only differences mean something.</summary>
    public double HeadingRad;

    /// <summary>Whether the athlete stood still.</summary>
    public bool IsStill;

    /// <summary>What is known against the sample.</summary>
    public SampleMarks Marks;
}

/// <summary>The last seconds of one site, oldest overwritten first. Samples are addressed by their number since the start.</summary>
internal sealed class SampleTrack
{
    // A sensor's scale and offset may be off by some per cent; more than that is not gravity.
    private const double GravityTolerance = 0.05;

    // Standing still, the reference follows the magnitude with this time constant.
    private const double GravityTimeConstantS = 1.0;

    // What could be bridged has been, so samples are evenly spaced but for holes; a foot's whole contact may hide in a tenth of a second.
    private const double HoleS = 0.1;

    private readonly TrackPoint[] _points;
    private readonly double _gravityMps2;
    private UprightAxis _upright;
    private StillDetector _still;
    private SagittalAxis _sagittal;

    /// <summary>An empty track.</summary>
    /// <param name="sampleRateHz">Nominal sample rate, Hz.</param>
    /// <param name="keptS">How much is kept, s.</param>
    /// <param name="gravityMps2">What a sensor without error reads as one g, m/s2.</param>
    /// <param name="before">The track of the same sensor before it started anew: what it learnt of its place on the body stays.</param>
    public SampleTrack(double sampleRateHz, double keptS, double gravityMps2, SampleTrack? before = null)
    {
        if (before is not null)
        {
            (_upright, _sagittal) = (before._upright.Doubted, before._sagittal.Doubted);
        }

        SampleRateHz = sampleRateHz;
        GravityReferenceMps2 = before?.GravityReferenceMps2 ?? gravityMps2;
        _gravityMps2 = gravityMps2;
        _points = new TrackPoint[(int)Math.Ceiling(sampleRateHz * keptS) + 2];
    }

    private SampleTrack(SampleTrack other)
    {
        SampleRateHz = other.SampleRateHz;
        GravityReferenceMps2 = other.GravityReferenceMps2;
        _upright = other._upright;
        _still = other._still;
        _sagittal = other._sagittal;
        _gravityMps2 = other._gravityMps2;
        _points = (TrackPoint[])other._points.Clone();
        End = other.End;
    }

    /// <summary>Nominal sample rate, Hz.</summary>
    public double SampleRateHz { get; }

    /// <summary>What this sensor reads as one g, m/s2, learnt standing still: its own offset then drops out of the velocity.</summary>
    public double GravityReferenceMps2 { get; private set; }

    /// <summary>Unit vector up along the segment in the sensor frame; null before the first standing rest.</summary>
    public Vector3D? UpSensor => _upright.UpSensor;

    /// <summary>Unit vector to the athlete's left in the sensor frame; null before there was motion enough to tell.</summary>
    public Vector3D? LeftSensor => _sagittal.LeftSensor;

    /// <summary>Number of the sample that comes next; the newest one is <c>End - 1</c>.</summary>
    public long End { get; private set; }

    /// <summary>Number of the oldest sample that is still kept.</summary>
    public long Begin => Math.Max(0, End - _points.Length);

    /// <summary>Whether there is no sample yet.</summary>
    public bool IsEmpty => End == 0;

    /// <summary>Time of the newest sample. The track must not be empty.</summary>
    public SampleTime NewestTime => this[End - 1].Time;

    /// <summary>A kept sample by its number, inside [Begin, End).</summary>
    public ref readonly TrackPoint this[long index] => ref _points[(int)(index % _points.Length)];

    public SampleTrack Clone() => new(this);

    /// <summary>Adds a sample and carries the two integrals on by the trapezium rule.</summary>
    /// <param name="sample">The next sample.</param>
    /// <param name="left">At the trunk: the left shank, when there is one.</param>
    /// <param name="right">At the trunk: the right shank, when there is one.</param>
    public void Append(in MotionSample sample, SampleTrack? left = null, SampleTrack? right = null)
    {
        var forceEarth = sample.EarthFromSensor.Rotate(sample.SpecificForceSensorMps2);
        var rateEarth = sample.EarthFromSensor.Rotate(sample.AngularRateSensorRadps);
        var still = _still.Push(sample.SpecificForceSensorMps2, sample.AngularRateSensorRadps, 1 / SampleRateHz);
        _upright.Push(sample.SpecificForceSensorMps2, still, 1 / SampleRateHz);
        _sagittal.Push(sample.SpecificForceSensorMps2, sample.AngularRateSensorRadps, _upright.UpSensor, 1 / SampleRateHz);
        if (still)
        {
            var magnitude = sample.SpecificForceSensorMps2.Length;
            if (Math.Abs(magnitude - _gravityMps2) < GravityTolerance * _gravityMps2)
            {
                GravityReferenceMps2 += (magnitude - GravityReferenceMps2) / (GravityTimeConstantS * SampleRateHz);
            }
        }

        var bodyForce = BodyForce.UpMps2(sample.Time, forceEarth.Z, left, right);
        var velocity = 0.0;
        var bodyVelocity = 0.0;
        var heading = 0.0;
        if (End > 0)
        {
            ref readonly var last = ref this[End - 1];
            // Whole sample intervals: the samples are evenly spaced, and the hall clock stretches by what its corrections
            // do. What is found, and under which name, must not hang on when packets arrived.
            var interval = Math.Max(1, Math.Round((sample.Time - last.Time) * SampleRateHz)) / SampleRateHz;
            velocity = last.VelocityUpMps
                + (interval * (((last.SpecificForceEarthMps2.Z + forceEarth.Z) / 2) - GravityReferenceMps2));
            bodyVelocity = last.BodyVelocityUpMps
                + (interval * (((last.BodyForceUpMps2 + bodyForce) / 2) - GravityReferenceMps2));
            heading = last.HeadingRad + (interval * (last.AngularRateEarthRadps.Z + rateEarth.Z) / 2);
        }

        ref var slot = ref _points[(int)(End % _points.Length)];
        slot.Time = sample.Time;
        slot.SpecificForceSensorMps2 = sample.SpecificForceSensorMps2;
        slot.SpecificForceEarthMps2 = forceEarth;
        slot.AngularRateEarthRadps = rateEarth;
        slot.EarthFromSensor = sample.EarthFromSensor;
        slot.VelocityUpMps = velocity;
        slot.BodyForceUpMps2 = bodyForce;
        slot.BodyVelocityUpMps = bodyVelocity;
        slot.HeadingRad = heading;
        slot.IsStill = still;
        slot.Marks = sample.Marks;
        End++;
    }

    /// <summary>Number of the first kept sample at or after a time; <see cref="End"/> when there is none.</summary>
    public long IndexAtOrAfter(SampleTime time)
    {
        var low = Begin;
        var high = End;
        while (low < high)
        {
            var middle = low + ((high - low) / 2);
            if (this[middle].Time < time)
            {
                low = middle + 1;
            }
            else
            {
                high = middle;
            }
        }

        return low;
    }

    /// <summary>Number of the kept sample nearest to a time. The track must not be empty.</summary>
    public long IndexNearest(SampleTime time)
    {
        var (before, after, share) = Around(time);
        return share < 0.5 ? before : after;
    }

    /// <summary>Whether the stretch is covered by kept samples: both ends, and no hole between them.</summary>
    public bool Covers(SampleTime from, SampleTime to) =>
        End > 0 && this[Begin].Time <= from && NewestTime >= to && !HasHole(from, to);

    /// <summary>Whether neighbouring kept samples of a stretch lie further apart than can be measured across.</summary>
    public bool HasHole(SampleTime from, SampleTime to)
    {
        for (var i = Math.Max(IndexAtOrAfter(from), Begin + 1); i < End && this[i - 1].Time < to; i++)
        {
            if (this[i].Time - this[i - 1].Time > HoleS)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Whether part of the turning between two instants was not measured: samples lost and bridged, or a rate at its rail.</summary>
    public bool TurnGuessed(SampleTime from, SampleTime to)
    {
        const SampleMarks guessed = SampleMarks.GyroscopeSaturated | SampleMarks.AfterGap | SampleMarks.Bridged;
        for (var i = IndexAtOrAfter(from); i < End && this[i].Time <= to; i++)
        {
            if ((this[i].Marks & guessed) != SampleMarks.None)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Turn about the vertical between two instants, rad, counter-clockwise positive, linear between samples.</summary>
    public double TurnRad(SampleTime from, SampleTime to) => HeadingAt(to) - HeadingAt(from);

    /// <summary>Change of the upward velocity between two instants, m/s, linear between samples.</summary>
    public double VelocityChangeMps(SampleTime from, SampleTime to) => VelocityAt(to) - VelocityAt(from);

    /// <summary>Change of the upward velocity of the centre of mass between two instants, m/s, linear between samples.</summary>
    public double BodyVelocityChangeMps(SampleTime from, SampleTime to) => BodyVelocityAt(to) - BodyVelocityAt(from);

    private double BodyVelocityAt(SampleTime time)
    {
        var (a, b, share) = Around(time);
        return this[a].BodyVelocityUpMps + (share * (this[b].BodyVelocityUpMps - this[a].BodyVelocityUpMps));
    }

    private double HeadingAt(SampleTime time)
    {
        var (a, b, share) = Around(time);
        return this[a].HeadingRad + (share * (this[b].HeadingRad - this[a].HeadingRad));
    }

    private double VelocityAt(SampleTime time)
    {
        var (a, b, share) = Around(time);
        return this[a].VelocityUpMps + (share * (this[b].VelocityUpMps - this[a].VelocityUpMps));
    }

    /// <summary>The two samples around an instant and how far it lies between them; held at the ends of what is kept.</summary>
    private (long Before, long After, double Share) Around(SampleTime time)
    {
        var after = Math.Clamp(IndexAtOrAfter(time), Begin, End - 1);
        var before = Math.Max(after - 1, Begin);
        if (before == after)
        {
            return (before, after, 0);
        }

        var share = (time - this[before].Time) / (this[after].Time - this[before].Time);
        return (before, after, Math.Clamp(share, 0, 1));
    }
}
