using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>A 3 x 3 matrix by its rows.</summary>
/// <param name="RowX">First row.</param>
/// <param name="RowY">Second row.</param>
/// <param name="RowZ">Third row.</param>
public readonly record struct Matrix3(Vector3D RowX, Vector3D RowY, Vector3D RowZ)
{
    /// <summary>Changes nothing.</summary>
    public static Matrix3 Identity => new(Vector3D.UnitX, Vector3D.UnitY, Vector3D.UnitZ);

    /// <summary>Determinant.</summary>
    public double Determinant => Vector3D.Dot(RowX, Vector3D.Cross(RowY, RowZ));

    /// <summary>The matrix with rows and columns exchanged.</summary>
    public Matrix3 Transposed => new(
        new(RowX.X, RowY.X, RowZ.X), new(RowX.Y, RowY.Y, RowZ.Y), new(RowX.Z, RowY.Z, RowZ.Z));

    /// <summary>Scales each axis.</summary>
    /// <param name="scale">Factor of each axis.</param>
    public static Matrix3 Diagonal(Vector3D scale) => new(new(scale.X, 0, 0), new(0, scale.Y, 0), new(0, 0, scale.Z));

    /// <summary>Matrix times column.</summary>
    public static Vector3D operator *(in Matrix3 m, in Vector3D v) =>
        new(Vector3D.Dot(m.RowX, v), Vector3D.Dot(m.RowY, v), Vector3D.Dot(m.RowZ, v));

    /// <summary>Matrix product.</summary>
    public static Matrix3 operator *(in Matrix3 a, in Matrix3 b)
    {
        var t = b.Transposed;
        return new(t * a.RowX, t * a.RowY, t * a.RowZ);
    }

    /// <summary>The inverse; not finite when the determinant is zero.</summary>
    public Matrix3 Inverted()
    {
        // Columns of the adjugate are the cross products of the rows.
        var scale = 1 / Determinant;
        return new Matrix3(
            scale * Vector3D.Cross(RowY, RowZ), scale * Vector3D.Cross(RowZ, RowX), scale * Vector3D.Cross(RowX, RowY)).Transposed;
    }
}
