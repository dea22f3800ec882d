using System.Runtime.CompilerServices;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>Symmetric 3 x 3 matrix by its upper triangle: six numbers, symmetric by construction.</summary>
internal readonly record struct SymmetricMatrix3(double Xx, double Xy, double Xz, double Yy, double Yz, double Zz)
{
    public double LargestRowSum
    {
        get
        {
            var xy = Math.Abs(Xy);
            var xz = Math.Abs(Xz);
            var yz = Math.Abs(Yz);
            return Math.Max(Math.Abs(Xx) + xy + xz, Math.Max(xy + Math.Abs(Yy) + yz, xz + yz + Math.Abs(Zz)));
        }
    }

    public static SymmetricMatrix3 Diagonal(double value) => new(value, 0, 0, value, 0, value);

    public static SymmetricMatrix3 operator +(in SymmetricMatrix3 a, in SymmetricMatrix3 b) =>
        new(a.Xx + b.Xx, a.Xy + b.Xy, a.Xz + b.Xz, a.Yy + b.Yy, a.Yz + b.Yz, a.Zz + b.Zz);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector3D operator *(in SymmetricMatrix3 m, in Vector3D v) => new(
        (m.Xx * v.X) + (m.Xy * v.Y) + (m.Xz * v.Z),
        (m.Xy * v.X) + (m.Yy * v.Y) + (m.Yz * v.Z),
        (m.Xz * v.X) + (m.Yz * v.Y) + (m.Zz * v.Z));

    /// <summary>Inverse by cofactors. The matrix must be positive definite, which covariances plus noise are.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public SymmetricMatrix3 Inverted()
    {
        var cxx = (Yy * Zz) - (Yz * Yz);
        var cxy = (Xz * Yz) - (Xy * Zz);
        var cxz = (Xy * Yz) - (Xz * Yy);
        var scale = 1 / ((Xx * cxx) + (Xy * cxy) + (Xz * cxz));
        return new(
            scale * cxx,
            scale * cxy,
            scale * cxz,
            scale * ((Xx * Zz) - (Xz * Xz)),
            scale * ((Xz * Xy) - (Xx * Yz)),
            scale * ((Xx * Yy) - (Xy * Xy)));
    }
}
