using Saltograph.Imu;

namespace Saltograph.Simulator.Body;

/// <summary>
/// Trunk and arms in the frame that turns with the pelvis about the vertical (rad): lean forward, lean to the left of the
/// trunk about the hips, and each arm's abduction (sideways, 0 hanging) and flexion (forward).
/// </summary>
internal readonly record struct UpperBody(
    double Pitch, double Roll, double ArmLeftAbduction, double ArmLeftFlexion, double ArmRightAbduction, double ArmRightFlexion)
{
    public Frame TrunkFrame()
    {
        // Lean forward about the left axis, then to the left about the forward axis; z leads to the head.
        var (sinPitch, cosPitch) = Math.SinCos(Pitch);
        var (sinRoll, cosRoll) = Math.SinCos(Roll);
        var x = new Vector3D(cosPitch, 0, -sinPitch);
        var y = new Vector3D(-sinPitch * sinRoll, cosRoll, -cosPitch * sinRoll);
        var z = new Vector3D(sinPitch * cosRoll, sinRoll, cosPitch * cosRoll);
        return new(x, y, z);
    }
}

/// <summary>Centre of mass and inertia of a whole posture, from the hip centre, in the frame that turns with the pelvis.</summary>
internal ref struct Posture
{
    /// <summary>Two point masses for the trunk with head, each arm, thigh and shank with foot.</summary>
    public const int PointCount = 14;

    private readonly BodyModel _body;
    private readonly Span<Vector3D> _points;
    private readonly Span<double> _masses;
    private int _count;

    /// <summary>Lays the point masses of the posture into the caller's buffers.</summary>
    public Posture(
        BodyModel body, scoped in UpperBody upper, scoped in LegPose left, scoped in LegPose right, Span<Vector3D> points, Span<double> masses)
    {
        _body = body;
        _points = points;
        _masses = masses;
        _count = 0;
        LongInertiaKgM2 = 0;
        var trunk = upper.TrunkFrame();
        Add(body.Trunk, Vector3D.Zero, trunk.Z);
        AddArm(trunk, 1, upper.ArmLeftAbduction, upper.ArmLeftFlexion);
        AddArm(trunk, -1, upper.ArmRightAbduction, upper.ArmRightFlexion);
        AddLeg(left, body.HipHalfWidthM);
        AddLeg(right, -body.HipHalfWidthM);
        var centre = Vector3D.Zero;
        for (var i = 0; i < PointCount; i++)
        {
            centre += masses[i] * points[i];
        }

        Centre = centre / body.TotalMassKg;
    }

    /// <summary>Centre of mass from the hip centre, m.</summary>
    public Vector3D Centre { get; }

    /// <summary>Share of the segments' inertia about their own long axes that acts about the vertical.</summary>
    public double LongInertiaKgM2 { get; private set; }

    /// <summary>Inertia about the vertical through the centre of mass, kg m2.</summary>
    public readonly double VerticalInertiaKgM2()
    {
        var inertia = LongInertiaKgM2;
        for (var i = 0; i < PointCount; i++)
        {
            var d = _points[i] - Centre;
            inertia += _masses[i] * ((d.X * d.X) + (d.Y * d.Y));
        }

        return inertia;
    }

    private void AddArm(in Frame trunk, double side, double abduction, double flexion)
    {
        var (sinA, cosA) = Math.SinCos(abduction);
        var (sinF, cosF) = Math.SinCos(flexion);
        var shoulder = trunk.Outward(new(0, side * _body.ShoulderHalfWidthM, _body.ShoulderHeightM));
        Add(_body.Arm, shoulder, trunk.Outward(new(cosA * sinF, side * sinA, -cosA * cosF)));
    }

    private void AddLeg(in LegPose leg, double hipY)
    {
        var hip = new Vector3D(0, hipY, 0);
        Add(_body.Thigh, hip, leg.ThighAxis);
        Add(_body.Shank, hip + leg.Knee, leg.ShankAxis);
    }

    private void Add(in SlenderMass part, Vector3D joint, Vector3D axis)
    {
        var half = part.MassKg / 2;
        _points[_count] = joint + ((part.CentreM - part.TransverseRadiusM) * axis);
        _masses[_count++] = half;
        _points[_count] = joint + ((part.CentreM + part.TransverseRadiusM) * axis);
        _masses[_count++] = half;
        LongInertiaKgM2 += part.LongInertiaKgM2 * axis.Z * axis.Z;
    }
}
