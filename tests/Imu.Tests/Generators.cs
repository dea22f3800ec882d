using FsCheck;
using FsCheck.Fluent;

namespace Saltograph.Imu.Tests;

/// <summary>Vectors of everyday size and rotations spread over all directions, for the property tests.</summary>
public static class Generators
{
    private static readonly Gen<double> Component = Gen.Choose(-2_000_000, 2_000_000).Select(millionths => millionths * 1e-4);

    private static readonly Gen<Vector3D> AnyVector =
        from x in Component
        from y in Component
        from z in Component
        select new Vector3D(x, y, z);

    /// <summary>Components within +-200, so that sums and products keep 12 digits.</summary>
    public static Arbitrary<Vector3D> Vectors() => AnyVector.ToArbitrary();

    /// <summary>Any axis, angles up to a full turn in both directions; one in ten about an axis of the frame.</summary>
    public static Arbitrary<Rotation> Rotations()
    {
        var angle = Gen.Choose(-6_283_185, 6_283_185).Select(micro => micro * 1e-6);
        var axis = AnyVector.Where(v => v.Length > 1).Select(v => v.Normalized());
        var frameAxis = Gen.Elements(Vector3D.UnitX, Vector3D.UnitY, Vector3D.UnitZ);
        var all = from a in angle
                  from k in Gen.Frequency((9, axis), (1, frameAxis))
                  select Rotation.FromRotationVector(a * k);
        return all.ToArbitrary();
    }

    /// <summary>Instants within 140 years of the zero of their clock.</summary>
    public static Arbitrary<SampleTime> Times()
    {
        const long Years140Us = 140L * 365 * 86_400 * 1_000_000;
        var all = from high in Gen.Choose(-1_000_000, 1_000_000)
                  from low in Gen.Choose(0, 999_999)
                  select new SampleTime((high * (Years140Us / 1_000_001)) + low);
        return all.ToArbitrary();
    }
}
