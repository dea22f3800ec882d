using Saltograph.Imu;

namespace Saltograph.Simulator.Body;

/// <summary>
/// Joint angles of a leg in the frame that turns with the pelvis about the vertical (rad): the line from hip to ankle is
/// inclined by <paramref name="Theta"/> forward from straight down and by <paramref name="Gamma"/> to the left, in a plane
/// turned by <paramref name="Phi"/> about the vertical; the knee is bent by <paramref name="Kappa"/> (0 straight).
/// </summary>
internal readonly record struct LegAngles(double Theta, double Gamma, double Phi, double Kappa);

/// <summary>Where the parts of a leg are, in the frame given by the caller, from the hip.</summary>
internal readonly record struct LegPose(Vector3D ThighAxis, Vector3D Knee, Vector3D ShankAxis, Vector3D Ankle, Vector3D Left);

/// <summary>Forward and inverse kinematics of the leg.</summary>
internal static class Leg
{
    /// <summary>Share of the leg's length up to which it reaches exactly (knee bent by 16 deg or more).</summary>
    private const double ExactShare = 0.9905;

    /// <summary>Share that it never passes: a stretched leg gives way and the heel follows, the knee keeps 4 deg.</summary>
    private const double ReachShare = 0.9995;

    public static double LengthM(BodyModel body, double kappa)
    {
        var (a, b) = (body.ThighM, body.ShankM);
        return Math.Sqrt((a * a) + (b * b) + (2 * a * b * Math.Cos(kappa)));
    }

    public static LegPose Pose(BodyModel body, in LegAngles angles)
    {
        var (sinTheta, cosTheta) = Math.SinCos(angles.Theta);
        var (sinGamma, cosGamma) = Math.SinCos(angles.Gamma);
        var (sinPhi, cosPhi) = Math.SinCos(angles.Phi);
        var (sinKappa, cosKappa) = Math.SinCos(angles.Kappa);
        var along = new Vector3D(sinTheta * cosGamma, sinGamma, -cosTheta * cosGamma);
        var ahead = new Vector3D(cosTheta, 0, sinTheta);
        return Build(body, along, ahead, sinKappa, cosKappa, cosPhi, sinPhi);
    }

    /// <summary>The leg that reaches from the hip to the ankle, bent in the plane of the given heading.</summary>
    public static LegPose Reach(BodyModel body, Vector3D hipToAnkle, double heading)
    {
        var (sinPhi, cosPhi) = Math.SinCos(heading);
        var inPlane = Frame.Turn(hipToAnkle, cosPhi, -sinPhi);
        var distance = inPlane.Length;
        var along = inPlane / distance;
        var sagittal = Math.Sqrt((along.X * along.X) + (along.Z * along.Z));
        var ahead = new Vector3D(-along.Z / sagittal, 0, along.X / sagittal);
        var cosKappa = CosineOfKnee(body, SoftReach(body, distance));
        return Build(body, along, ahead, Math.Sqrt(Math.Max(0, 1 - (cosKappa * cosKappa))), cosKappa, cosPhi, sinPhi);
    }

    /// <summary>Joint angles of the leg that reaches to the ankle; <paramref name="phi"/> is the plane's own turn.</summary>
    public static LegAngles Angles(BodyModel body, Vector3D hipToAnkle, double phi)
    {
        var (sinPhi, cosPhi) = Math.SinCos(phi);
        var inPlane = Frame.Turn(hipToAnkle, cosPhi, -sinPhi);
        var distance = inPlane.Length;
        return new(
            Math.Atan2(inPlane.X, -inPlane.Z),
            Math.Asin(Math.Clamp(inPlane.Y / distance, -1, 1)),
            phi,
            Math.Acos(CosineOfKnee(body, SoftReach(body, distance))));
    }

    private static double CosineOfKnee(BodyModel body, double distance)
    {
        var (a, b) = (body.ThighM, body.ShankM);
        return Math.Clamp(((distance * distance) - (a * a) - (b * b)) / (2 * a * b), -0.95, 1);
    }

    /// <summary>Exact, then bending smoothly (three times continuously differentiable) towards the limit.</summary>
    private static double SoftReach(BodyModel body, double distance)
    {
        var exact = ExactShare * body.LegM;
        if (distance <= exact)
        {
            return distance;
        }

        var span = (ReachShare - ExactShare) * body.LegM;
        var u = (distance - exact) / span;
        return exact + (span * u / Math.Cbrt(1 + (u * u * u)));
    }

    private static LegPose Build(
        BodyModel body, Vector3D along, Vector3D ahead, double sinKappa, double cosKappa, double cosPhi, double sinPhi)
    {
        var (a, b) = (body.ThighM, body.ShankM);
        var length = Math.Sqrt((a * a) + (b * b) + (2 * a * b * cosKappa));
        var left = Vector3D.Cross(ahead, along);
        var thigh = (((a + (b * cosKappa)) * along) + (b * sinKappa * ahead)) / length;
        var shank = (((b + (a * cosKappa)) * along) - (a * sinKappa * ahead)) / length;
        thigh = Frame.Turn(thigh, cosPhi, sinPhi);
        shank = Frame.Turn(shank, cosPhi, sinPhi);
        var knee = a * thigh;
        return new(thigh, knee, shank, knee + (b * shank), Frame.Turn(left, cosPhi, sinPhi));
    }
}
