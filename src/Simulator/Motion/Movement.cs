using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Motion;

/// <summary>Where every part of the body is at one instant, earth frame.</summary>
internal readonly record struct Pose(
    Vector3D Pelvis, Frame Trunk, LegInSpace Left, LegInSpace Right, double HeadingRad, bool Airborne);

/// <summary>A leg in the earth frame. The shank's frame: forward, left, up from ankle to knee; origin is the ankle.</summary>
internal readonly record struct LegInSpace(Vector3D Hip, Vector3D Knee, Vector3D Ankle, Frame Shank);

/// <summary>
/// The movement of one athlete as smooth functions of time. On the floor the pelvis is led and the legs reach from it to
/// the feet; in the air the centre of mass is led (a parabola) and the pelvis follows from the posture, and the heading
/// follows from the constant angular momentum about the vertical.
/// </summary>
internal sealed class Movement
{
    private readonly List<(double StartS, FlightPath? Flight)> _phases = [(double.NegativeInfinity, null)];
    private int _phase;

    public Movement(BodyModel body)
    {
        Body = body;
        Legs = [new(), new()];
    }

    public BodyModel Body { get; }

    public Track PelvisX { get; } = new();

    public Track PelvisY { get; } = new();

    public Track PelvisZ { get; } = new();

    /// <summary>Heading while on the floor, rad.</summary>
    public Track Heading { get; } = new();

    public UpperTracks Upper { get; } = new();

    /// <summary>Left, right.</summary>
    public LegTracks[] Legs { get; }

    /// <summary>Shakes of single sensors.</summary>
    public List<Wobble> Wobbles { get; } = [];

    /// <summary>Stretches in which a sensor is off the body.</summary>
    public List<HandledSensor> Handled { get; } = [];

    public void BeginFlight(double timeS, FlightPath flight) => _phases.Add((timeS, flight));

    public void BeginGround(double timeS) => _phases.Add((timeS, null));

    /// <summary>The flight path at a time, or null on the floor.</summary>
    public FlightPath? FlightAt(double timeS)
    {
        var last = _phases.Count - 1;
        _phase = Math.Min(_phase, last);
        while (_phase < last && timeS >= _phases[_phase + 1].StartS)
        {
            _phase++;
        }

        while (_phase > 0 && timeS < _phases[_phase].StartS)
        {
            _phase--;
        }

        return _phases[_phase].Flight;
    }

    public double HeadingAt(double timeS) => FlightAt(timeS) is { } flight ? flight.HeadingAt(timeS) : Heading.Value(timeS);

    /// <summary>The pose at a time.</summary>
    public Pose At(double timeS)
    {
        var flight = FlightAt(timeS);
        var upper = Upper.At(timeS);
        var trunk = upper.TrunkFrame();
        double heading;
        Vector3D pelvis;
        LegPose left;
        LegPose right;
        if (flight is null)
        {
            heading = Heading.Value(timeS);
            pelvis = new(PelvisX.Value(timeS), PelvisY.Value(timeS), PelvisZ.Value(timeS));
            var (sin, cos) = Math.SinCos(heading);
            left = LegOnFloor(0, timeS, pelvis, heading, cos, sin);
            right = LegOnFloor(1, timeS, pelvis, heading, cos, sin);
            return Assemble(pelvis, trunk, left, right, heading, cos, sin, false);
        }
        else
        {
            heading = flight.HeadingAt(timeS);
            left = Leg.Pose(Body, Legs[0].AnglesAt(timeS));
            right = Leg.Pose(Body, Legs[1].AnglesAt(timeS));
            var (sin, cos) = Math.SinCos(heading);
            Span<Vector3D> points = stackalloc Vector3D[Posture.PointCount];
            Span<double> masses = stackalloc double[Posture.PointCount];
            var posture = new Posture(Body, upper, left, right, points, masses);
            pelvis = flight.CentreAt(timeS) - Frame.Turn(posture.Centre, cos, sin);
            return Assemble(pelvis, trunk, left, right, heading, cos, sin, true);
        }
    }

    /// <summary>Centre of mass, earth frame, m.</summary>
    public Vector3D CentreAt(double timeS)
    {
        if (FlightAt(timeS) is { } flight)
        {
            return flight.CentreAt(timeS);
        }

        Span<Vector3D> points = stackalloc Vector3D[Posture.PointCount];
        Span<double> masses = stackalloc double[Posture.PointCount];
        var (pelvis, cos, sin, centre, _) = FloorPosture(timeS, points, masses);
        return pelvis + Frame.Turn(centre, cos, sin);
    }

    /// <summary>Point masses in the earth frame (for checks of momentum) and the inertia about the long axes.</summary>
    internal double PointsAt(double timeS, Span<Vector3D> points, Span<double> masses)
    {
        var pose = At(timeS);
        var (sin, cos) = Math.SinCos(pose.HeadingRad);
        LegPose left;
        LegPose right;
        if (pose.Airborne)
        {
            left = Leg.Pose(Body, Legs[0].AnglesAt(timeS));
            right = Leg.Pose(Body, Legs[1].AnglesAt(timeS));
        }
        else
        {
            left = LegOnFloor(0, timeS, pose.Pelvis, pose.HeadingRad, cos, sin);
            right = LegOnFloor(1, timeS, pose.Pelvis, pose.HeadingRad, cos, sin);
        }

        var posture = new Posture(Body, Upper.At(timeS), left, right, points, masses);
        for (var i = 0; i < points.Length; i++)
        {
            points[i] = pose.Pelvis + Frame.Turn(points[i], cos, sin);
        }

        return posture.LongInertiaKgM2;
    }

    public void Trim(double beforeS)
    {
        PelvisX.Trim(beforeS);
        PelvisY.Trim(beforeS);
        PelvisZ.Trim(beforeS);
        Heading.Trim(beforeS);
        Upper.Trim(beforeS);
        Legs[0].Trim(beforeS);
        Legs[1].Trim(beforeS);
        Wobbles.RemoveAll(w => w.StartS + w.DurationS < beforeS);
        Handled.RemoveAll(h => h.EndS < beforeS);
        var count = 0;
        while (count + 1 < _phases.Count && _phases[count + 1].StartS < beforeS)
        {
            count++;
        }

        _phases.RemoveRange(0, count);
        _phase = Math.Max(0, _phase - count);
    }

    private (Vector3D Pelvis, double Cos, double Sin, Vector3D Centre, double Inertia) FloorPosture(
        double timeS, Span<Vector3D> points, Span<double> masses)
    {
        var heading = Heading.Value(timeS);
        var pelvis = new Vector3D(PelvisX.Value(timeS), PelvisY.Value(timeS), PelvisZ.Value(timeS));
        var (sin, cos) = Math.SinCos(heading);
        var left = LegOnFloor(0, timeS, pelvis, heading, cos, sin);
        var right = LegOnFloor(1, timeS, pelvis, heading, cos, sin);
        var posture = new Posture(Body, Upper.At(timeS), left, right, points, masses);
        return (pelvis, cos, sin, posture.Centre, posture.VerticalInertiaKgM2());
    }

    private LegPose LegOnFloor(int leg, double timeS, Vector3D pelvis, double heading, double cos, double sin)
    {
        var tracks = Legs[leg];
        if (!tracks.FootLedAt(timeS))
        {
            return Leg.Pose(Body, tracks.AnglesAt(timeS));
        }

        // Reach in the frame that turns with the pelvis, in the plane that the foot's heading gives.
        var toAnkle = Frame.Turn(tracks.AnkleAt(timeS) - pelvis, cos, -sin) - HipOffset(leg);
        return Leg.Reach(Body, toAnkle, tracks.FootHeading.Value(timeS) - heading);
    }

    public Vector3D HipOffset(int leg) => new(0, leg == 0 ? Body.HipHalfWidthM : -Body.HipHalfWidthM, 0);

    private Pose Assemble(
        Vector3D pelvis, in Frame trunk, in LegPose left, in LegPose right, double heading, double cos, double sin, bool airborne) => new(
        pelvis, trunk.Turned(cos, sin), InSpace(0, left, pelvis, cos, sin), InSpace(1, right, pelvis, cos, sin), heading, airborne);

    private LegInSpace InSpace(int leg, in LegPose pose, Vector3D pelvis, double cos, double sin)
    {
        var hip = pelvis + Frame.Turn(HipOffset(leg), cos, sin);
        var up = -Frame.Turn(pose.ShankAxis, cos, sin);
        var left = Frame.Turn(pose.Left, cos, sin);
        return new(
            hip, hip + Frame.Turn(pose.Knee, cos, sin), hip + Frame.Turn(pose.Ankle, cos, sin),
            new(Vector3D.Cross(left, up), left, up));
    }
}

/// <summary>Trunk and arms over time.</summary>
internal sealed class UpperTracks
{
    public const int Count = 6;

    public Track[] Channels { get; } = [new(), new(), new(), new(), new(), new()];

    public Track Pitch => Channels[0];

    public Track Roll => Channels[1];

    public UpperBody At(double timeS) => new(
        Channels[0].Value(timeS), Channels[1].Value(timeS), Channels[2].Value(timeS),
        Channels[3].Value(timeS), Channels[4].Value(timeS), Channels[5].Value(timeS));

    public void Trim(double beforeS)
    {
        foreach (var track in Channels)
        {
            track.Trim(beforeS);
        }
    }
}

/// <summary>A leg over time: led by its foot (standing, or placed by hand) or by its joints (swinging, in the air).</summary>
internal sealed class LegTracks
{
    private readonly List<(double StartS, bool FootLed)> _modes = [(double.NegativeInfinity, true)];
    private int _mode;

    public Track AnkleX { get; } = new();

    public Track AnkleY { get; } = new();

    public Track AnkleZ { get; } = new();

    public Track FootHeading { get; } = new();

    /// <summary>Theta, gamma, phi, kappa.</summary>
    public Track[] Joints { get; } = [new(), new(), new(), new()];

    public void Begin(double timeS, bool footLed) => _modes.Add((timeS, footLed));

    public bool FootLedAt(double timeS)
    {
        var last = _modes.Count - 1;
        _mode = Math.Min(_mode, last);
        while (_mode < last && timeS >= _modes[_mode + 1].StartS)
        {
            _mode++;
        }

        while (_mode > 0 && timeS < _modes[_mode].StartS)
        {
            _mode--;
        }

        return _modes[_mode].FootLed;
    }

    /// <summary>A place to come back to with <see cref="Rollback"/>.</summary>
    public (int Modes, (int, double, Knot, bool)[] Tracks) Mark() => (_modes.Count, [.. All.Select(t => t.Mark())]);

    /// <summary>Takes back everything laid down since the mark.</summary>
    public void Rollback((int Modes, (int, double, Knot, bool)[] Tracks) mark)
    {
        _modes.RemoveRange(mark.Modes, _modes.Count - mark.Modes);
        foreach (var (i, track) in All.Index())
        {
            track.Rollback(mark.Tracks[i]);
        }
    }

    private IEnumerable<Track> All => [AnkleX, AnkleY, AnkleZ, FootHeading, .. Joints];

    public bool FootLedNow => _modes[^1].FootLed;

    public Vector3D AnkleAt(double timeS) => new(AnkleX.Value(timeS), AnkleY.Value(timeS), AnkleZ.Value(timeS));

    public LegAngles AnglesAt(double timeS) =>
        new(Joints[0].Value(timeS), Joints[1].Value(timeS), Joints[2].Value(timeS), Joints[3].Value(timeS));

    public void Trim(double beforeS)
    {
        AnkleX.Trim(beforeS);
        AnkleY.Trim(beforeS);
        AnkleZ.Trim(beforeS);
        FootHeading.Trim(beforeS);
        foreach (var joint in Joints)
        {
            joint.Trim(beforeS);
        }

        var count = 0;
        while (count + 1 < _modes.Count && _modes[count + 1].StartS < beforeS)
        {
            count++;
        }

        _modes.RemoveRange(0, count);
        _mode = Math.Max(0, _mode - count);
    }
}
