namespace Saltograph.Imu;

/// <summary>Three double components. The frame and the unit belong to the name of the variable that holds it.</summary>
/// <param name="X">First component.</param>
/// <param name="Y">Second component.</param>
/// <param name="Z">Third component.</param>
public readonly record struct Vector3D(double X, double Y, double Z)
{
    /// <summary>The zero vector; also the default value.</summary>
    public static Vector3D Zero => default;

    /// <summary>Unit vector along x.</summary>
    public static Vector3D UnitX => new(1, 0, 0);

    /// <summary>Unit vector along y.</summary>
    public static Vector3D UnitY => new(0, 1, 0);

    /// <summary>Unit vector along z: up, in the earth frame.</summary>
    public static Vector3D UnitZ => new(0, 0, 1);

    /// <summary>Euclidean length, in the unit of the components.</summary>
    public double Length => Math.Sqrt(LengthSquared);

    /// <summary>Square of the Euclidean length.</summary>
    public double LengthSquared => (X * X) + (Y * Y) + (Z * Z);

    /// <summary>Whether no component is NaN or infinite.</summary>
    public bool IsFinite => double.IsFinite(X) && double.IsFinite(Y) && double.IsFinite(Z);

    /// <summary>Component-wise sum.</summary>
    public static Vector3D operator +(Vector3D a, Vector3D b) => new(a.X + b.X, a.Y + b.Y, a.Z + b.Z);

    /// <summary>Component-wise difference.</summary>
    public static Vector3D operator -(Vector3D a, Vector3D b) => new(a.X - b.X, a.Y - b.Y, a.Z - b.Z);

    /// <summary>The opposite vector.</summary>
    public static Vector3D operator -(Vector3D a) => new(-a.X, -a.Y, -a.Z);

    /// <summary>The vector scaled.</summary>
    public static Vector3D operator *(double scale, Vector3D a) => new(scale * a.X, scale * a.Y, scale * a.Z);

    /// <summary>The vector scaled.</summary>
    public static Vector3D operator *(Vector3D a, double scale) => scale * a;

    /// <summary>The vector divided by a number.</summary>
    public static Vector3D operator /(Vector3D a, double divisor) => new(a.X / divisor, a.Y / divisor, a.Z / divisor);

    /// <summary>Scalar product.</summary>
    public static double Dot(Vector3D a, Vector3D b) => (a.X * b.X) + (a.Y * b.Y) + (a.Z * b.Z);

    /// <summary>Vector product, right-handed.</summary>
    public static Vector3D Cross(Vector3D a, Vector3D b) =>
        new((a.Y * b.Z) - (a.Z * b.Y), (a.Z * b.X) - (a.X * b.Z), (a.X * b.Y) - (a.Y * b.X));

    /// <summary>The vector of length 1 with the same direction; the zero vector stays zero, so the result is always finite.</summary>
    public Vector3D Normalized()
    {
        var length = Length;
        return length > 0 ? this / length : Zero;
    }
}
