using Saltograph.Imu;

namespace Saltograph.Simulator.Body;

/// <summary>Orientation of a segment as its three unit axes in an outer frame: forward, left, up (towards the head).</summary>
internal readonly record struct Frame(Vector3D X, Vector3D Y, Vector3D Z)
{
    public static Frame Identity => new(Vector3D.UnitX, Vector3D.UnitY, Vector3D.UnitZ);

    /// <summary>From this frame to the outer frame.</summary>
    public Vector3D Outward(Vector3D inner) => (inner.X * X) + (inner.Y * Y) + (inner.Z * Z);

    /// <summary>From the outer frame into this frame.</summary>
    public Vector3D Inward(Vector3D outer) => new(Vector3D.Dot(X, outer), Vector3D.Dot(Y, outer), Vector3D.Dot(Z, outer));

    /// <summary>The frame turned about the outer vertical.</summary>
    public Frame Turned(double cosine, double sine) => new(Turn(X, cosine, sine), Turn(Y, cosine, sine), Turn(Z, cosine, sine));

    public static Vector3D Turn(Vector3D v, double cosine, double sine) =>
        new((cosine * v.X) - (sine * v.Y), (sine * v.X) + (cosine * v.Y), v.Z);

    /// <summary>Rotation vector, in this frame, that leads from this orientation to the next (angle below pi/2).</summary>
    public Vector3D RotationTo(Frame next)
    {
        // Vee of the antisymmetric part of R^T R': the axis times the sine of the angle.
        var s = 0.5 * new Vector3D(
            Vector3D.Dot(Z, next.Y) - Vector3D.Dot(Y, next.Z),
            Vector3D.Dot(X, next.Z) - Vector3D.Dot(Z, next.X),
            Vector3D.Dot(Y, next.X) - Vector3D.Dot(X, next.Y));
        var sine = s.Length;
        return sine < 1e-8 ? s : (Math.Asin(Math.Min(1, sine)) / sine) * s;
    }

    /// <summary>The same orientation as a quaternion: outerFromThis.</summary>
    public Rotation ToRotation()
    {
        var w = Math.Sqrt(Math.Max(0, 1 + X.X + Y.Y + Z.Z)) / 2;
        var x = Math.Sqrt(Math.Max(0, 1 + X.X - Y.Y - Z.Z)) / 2;
        var y = Math.Sqrt(Math.Max(0, 1 - X.X + Y.Y - Z.Z)) / 2;
        var z = Math.Sqrt(Math.Max(0, 1 - X.X - Y.Y + Z.Z)) / 2;
        return new Rotation(
            w, Math.CopySign(x, Y.Z - Z.Y), Math.CopySign(y, Z.X - X.Z), Math.CopySign(z, X.Y - Y.X)).Normalized();
    }
}
