using System.Globalization;

namespace Saltograph.Imu;

/// <summary>
/// A rotation as a unit quaternion, Hamilton convention, order w x y z. A variable named <c>aFromB</c> turns a vector
/// given in frame B into frame A, so that <c>aFromB * bFromC</c> reads as <c>aFromC</c>.
/// </summary>
/// <remarks>
/// <c>q</c> and <c>-q</c> are the same rotation but not equal values: compare with <see cref="AngleToRad"/>.
/// The default value is not a rotation (all zero); start from <see cref="Identity"/>.
/// </remarks>
/// <param name="W">Cosine of half the angle.</param>
/// <param name="X">x of the axis times the sine of half the angle.</param>
/// <param name="Y">y of the axis times the sine of half the angle.</param>
/// <param name="Z">z of the axis times the sine of half the angle.</param>
public readonly record struct Rotation(double W, double X, double Y, double Z)
{
    /// <summary>No rotation.</summary>
    public static Rotation Identity => new(1, 0, 0, 0);

    /// <summary>The same rotation backwards: <c>aFromB.Inverse</c> is <c>bFromA</c>.</summary>
    public Rotation Inverse => new(W, -X, -Y, -Z);

    /// <summary>
    /// Heading in radians, counter-clockwise seen from above, in (-pi, pi]: the turn about the vertical z that is left
    /// when the shortest tilt is taken off (twist about z). Undefined, here 0, when z points exactly down.
    /// </summary>
    public double HeadingRad
    {
        get
        {
            var heading = 2 * Math.Atan2(Z, W);
            return heading > Math.PI ? heading - (2 * Math.PI) : heading <= -Math.PI ? heading + (2 * Math.PI) : heading;
        }
    }

    /// <summary>Applies <paramref name="second"/> first, then <paramref name="first"/>.</summary>
    public static Rotation operator *(Rotation first, Rotation second) => new(
        (first.W * second.W) - (first.X * second.X) - (first.Y * second.Y) - (first.Z * second.Z),
        (first.W * second.X) + (first.X * second.W) + (first.Y * second.Z) - (first.Z * second.Y),
        (first.W * second.Y) - (first.X * second.Z) + (first.Y * second.W) + (first.Z * second.X),
        (first.W * second.Z) + (first.X * second.Y) - (first.Y * second.X) + (first.Z * second.W));

    /// <summary>Turns a vector: with <c>aFromB</c>, from frame B into frame A. Same unit out as in.</summary>
    public Vector3D Rotate(Vector3D vector)
    {
        // v + 2 w (u x v) + 2 u x (u x v): 15 multiplications fewer than the two quaternion products.
        var tx = 2 * ((Y * vector.Z) - (Z * vector.Y));
        var ty = 2 * ((Z * vector.X) - (X * vector.Z));
        var tz = 2 * ((X * vector.Y) - (Y * vector.X));
        return new(
            vector.X + (W * tx) + (Y * tz) - (Z * ty),
            vector.Y + (W * ty) + (Z * tx) - (X * tz),
            vector.Z + (W * tz) + (X * ty) - (Y * tx));
    }

    /// <summary>Rotation by the length of the vector (rad) about its direction. Exact, also for zero.</summary>
    /// <param name="rotationVectorRad">Axis times angle, rad.</param>
    public static Rotation FromRotationVector(Vector3D rotationVectorRad)
    {
        var angle = rotationVectorRad.Length;
        // sin(a/2)/a tends to 1/2; below 1e-9 rad the next term, a^2/48, is under the double precision.
        var scale = angle > 1e-9 ? Math.Sin(angle / 2) / angle : 0.5;
        return new(Math.Cos(angle / 2), scale * rotationVectorRad.X, scale * rotationVectorRad.Y, scale * rotationVectorRad.Z);
    }

    /// <summary>Rotation about the vertical z.</summary>
    /// <param name="headingRad">Angle, rad, counter-clockwise seen from above.</param>
    public static Rotation AboutVertical(double headingRad) => new(Math.Cos(headingRad / 2), 0, 0, Math.Sin(headingRad / 2));

    /// <summary>
    /// The shortest rotation that turns <paramref name="from"/> onto <paramref name="to"/> (lengths do not matter).
    /// For exactly opposite vectors the axis is free; one perpendicular to <paramref name="from"/> is taken.
    /// </summary>
    public static Rotation Shortest(Vector3D from, Vector3D to)
    {
        var a = from.Normalized();
        var b = to.Normalized();
        var cosine = Vector3D.Dot(a, b);
        if (cosine < -1 + 1e-12)
        {
            var helper = Math.Abs(a.X) < 0.9 ? Vector3D.UnitX : Vector3D.UnitY;
            var axis = Vector3D.Cross(a, helper).Normalized();
            return new(0, axis.X, axis.Y, axis.Z);
        }

        var cross = Vector3D.Cross(a, b);
        return new Rotation(1 + cosine, cross.X, cross.Y, cross.Z).Normalized();
    }

    /// <summary>The rotation of unit length; the zero quaternion becomes the identity.</summary>
    public Rotation Normalized()
    {
        var norm = Math.Sqrt((W * W) + (X * X) + (Y * Y) + (Z * Z));
        return norm > 0 ? new(W / norm, X / norm, Y / norm, Z / norm) : Identity;
    }

    /// <summary>Angle of the rotation that leads from this one to the other, rad, 0 to pi.</summary>
    public double AngleToRad(Rotation other)
    {
        var difference = Inverse * other;
        var sine = Math.Sqrt((difference.X * difference.X) + (difference.Y * difference.Y) + (difference.Z * difference.Z));
        return 2 * Math.Atan2(sine, Math.Abs(difference.W));
    }

    /// <summary>The four components in full precision, <c>w x y z</c>.</summary>
    /// <remarks>Written out, because the text that a record makes of itself would follow <see cref="Inverse"/> for ever.</remarks>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{W:R} {X:R} {Y:R} {Z:R}");
}
