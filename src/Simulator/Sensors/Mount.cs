using Saltograph.Imu;
using Saltograph.Simulator.Body;
using Saltograph.Simulator.Motion;

namespace Saltograph.Simulator.Sensors;

/// <summary>Where and how one sensor sits on its segment.</summary>
internal sealed class Mount
{
    private Mount(Site site, Vector3D leverM, Frame housing, double ringHz, double ringDamping, double ringShare)
    {
        (Site, LeverM, Housing) = (site, leverM, housing);
        (RingHz, RingDamping, RingShare) = (ringHz, ringDamping, ringShare);
    }

    public Site Site { get; }

    /// <summary>From the segment's origin (hip centre, ankle joint), segment axes, m.</summary>
    public Vector3D LeverM { get; }

    /// <summary>The housing's axes in the segment.</summary>
    public Frame Housing { get; }

    public double RingHz { get; }

    public double RingDamping { get; }

    public double RingShare { get; }

    public static Mount Draw(Site site, SensorOptions options, Pcg32 random)
    {
        var side = site == Site.AnkleLeft ? 1 : -1;
        var lever = site == Site.Trunk
            ? new Vector3D(-random.Between(0.08, 0.12), random.Around(0, 0.008), random.Between(0.04, 0.1))
            : new Vector3D(random.Around(0, 0.008), side * random.Between(0.03, 0.05), random.Between(0.06, 0.12));
        var housing = Frame.Identity;
        if (options.StrapTurned)
        {
            // Any of the six housing directions up, then turned about the long axis by any angle.
            housing = random.Index(3) switch
            {
                0 => new(Vector3D.UnitZ, Vector3D.UnitX, Vector3D.UnitY),
                1 => new(Vector3D.UnitY, Vector3D.UnitZ, Vector3D.UnitX),
                _ => housing,
            };
            if (random.Chance(0.5))
            {
                housing = new(Flip(housing.X), Flip(housing.Y), Flip(housing.Z));
            }

            var (sin, cos) = Math.SinCos(random.Between(-Math.PI, Math.PI));
            housing = housing.Turned(cos, sin);
        }

        var tilt = options.MisalignmentDeg * Angles.RadPerDeg * random.Unit();
        var about = random.Between(-Math.PI, Math.PI);
        var rotation = Rotation.FromRotationVector(tilt * new Vector3D(Math.Cos(about), Math.Sin(about), 0));
        housing = new(rotation.Rotate(housing.X), rotation.Rotate(housing.Y), rotation.Rotate(housing.Z));
        var trunk = site == Site.Trunk;
        return new(
            site, lever, housing, trunk ? random.Between(14, 26) : random.Between(22, 45),
            trunk ? random.Between(0.3, 0.5) : random.Between(0.15, 0.35),
            options.SoftTissue ? random.Between(0.15, 0.4) : 0);

        // Half a turn about the forward axis.
        static Vector3D Flip(Vector3D v) => new(v.X, -v.Y, -v.Z);
    }

    public Vector3D PlaceOf(in Pose pose)
    {
        var (origin, frame) = SegmentOf(pose);
        return origin + frame.Outward(LeverM);
    }

    /// <summary>Place of the sensor and axes of its segment as it feels them: with shakes, and off the body.</summary>
    public (Vector3D Place, Frame Frame) Feel(in Pose pose, Movement movement, double timeS)
    {
        var (origin, frame) = SegmentOf(pose);
        var inner = LeverM;
        foreach (var wobble in movement.Wobbles)
        {
            if (wobble.Site == Site)
            {
                inner += wobble.At(timeS);
            }
        }

        var place = origin + frame.Outward(inner);
        foreach (var handled in movement.Handled)
        {
            if (handled.Site == Site && timeS >= handled.StartS && timeS < handled.EndS)
            {
                return handled.Apply(timeS, place, frame);
            }
        }

        return (place, frame);
    }

    public (Vector3D Origin, Frame Frame) SegmentOf(in Pose pose) => Site switch
    {
        Site.Trunk => (pose.Pelvis, pose.Trunk),
        Site.AnkleLeft => (pose.Left.Ankle, pose.Left.Shank),
        _ => (pose.Right.Ankle, pose.Right.Shank),
    };

    public StrapResponse NewStrap(double sampleRateHz) => new(RingHz, RingDamping, RingShare, sampleRateHz);
}

/// <summary>Turns sampled places and orientations into specific force and angular rate in segment axes.</summary>
internal sealed class Kinematics(double intervalS)
{
    private Vector3D _place1;
    private Vector3D _place2;
    private Frame _frame1;
    private Vector3D _turn;
    private int _count;

    /// <summary>
    /// Takes the next instant; gives the values at the one before it. Second differences keep the sum of the acceleration
    /// equal to the change of velocity, so that nothing is lost in a shock.
    /// </summary>
    public bool Step(Vector3D place, in Frame frame, out Vector3D force, out Vector3D rate)
    {
        var turn = _count > 0 ? _frame1.RotationTo(frame) : default;
        var ready = _count >= 2;
        force = default;
        rate = default;
        if (ready)
        {
            var acceleration = (place - (2 * _place1) + _place2) / (intervalS * intervalS);
            force = _frame1.Inward(acceleration + new Vector3D(0, 0, Gravity.StandardMps2));
            rate = (turn + _turn) / (2 * intervalS);
        }

        (_place2, _place1, _frame1, _turn) = (_place1, place, frame, turn);
        _count = Math.Min(_count + 1, 2);
        return ready;
    }
}
