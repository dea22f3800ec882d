using FsCheck.Xunit;

namespace Saltograph.Imu.Tests;

/// <summary>Rotations form a group, and the quaternions follow Hamilton's multiplication table.</summary>
[Properties(Arbitrary = [typeof(Generators)])]
public sealed class RotationGroupTests
{
    private static readonly Rotation I = new(0, 1, 0, 0);
    private static readonly Rotation J = new(0, 0, 1, 0);
    private static readonly Rotation K = new(0, 0, 0, 1);
    private static readonly Rotation MinusOne = new(-1, 0, 0, 0);

    // Hamilton, 1843: i^2 = j^2 = k^2 = ijk = -1. It tells this convention from the one with ijk = +1.
    [Fact]
    public void The_units_multiply_as_Hamilton_wrote()
    {
        Assert.Equal(MinusOne, I * I);
        Assert.Equal(MinusOne, J * J);
        Assert.Equal(MinusOne, K * K);
        Assert.Equal(MinusOne, I * J * K);
    }

    [Property]
    public void The_identity_changes_nothing(Rotation q)
    {
        Assert.Equal(q, Rotation.Identity * q);
        Assert.Equal(q, q * Rotation.Identity);
    }

    [Property]
    public void A_rotation_and_its_inverse_cancel(Rotation q)
    {
        Near.Same(Rotation.Identity, q * q.Inverse, 1e-14);
        Near.Same(Rotation.Identity, q.Inverse * q, 1e-14);
    }

    [Property]
    public void Composition_is_associative(Rotation p, Rotation q, Rotation r) => Near.Same(p * (q * r), p * q * r, 1e-14);

    [Property]
    public void A_product_applies_its_right_factor_first(Rotation aFromB, Rotation bFromC, Vector3D inC) =>
        Near.Equal(aFromB.Rotate(bFromC.Rotate(inC)), (aFromB * bFromC).Rotate(inC), 1e-11);

    [Property]
    public void A_rotation_keeps_lengths_angles_and_handedness(Rotation q, Vector3D a, Vector3D b)
    {
        var (turnedA, turnedB) = (q.Rotate(a), q.Rotate(b));
        Near.Equal(a.Length, turnedA.Length, 1e-11);
        Near.Equal(Vector3D.Dot(a, b), Vector3D.Dot(turnedA, turnedB), 1e-8);
        Near.Equal(q.Rotate(Vector3D.Cross(a, b)), Vector3D.Cross(turnedA, turnedB), 1e-8);
    }

    [Property]
    public void The_opposite_quaternion_is_the_same_rotation(Rotation q, Vector3D v)
    {
        var opposite = new Rotation(-q.W, -q.X, -q.Y, -q.Z);
        Near.Equal(q.Rotate(v), opposite.Rotate(v), 1e-12);
        Near.Same(q, opposite, 1e-14);
    }

    [Property]
    public void The_angle_between_rotations_is_a_distance(Rotation p, Rotation q, Rotation r)
    {
        Near.Equal(0, p.AngleToRad(p), 1e-15);
        Near.Equal(p.AngleToRad(q), q.AngleToRad(p), 1e-14);
        Assert.InRange(p.AngleToRad(q), 0, Math.PI);
        Assert.True(p.AngleToRad(r) <= p.AngleToRad(q) + q.AngleToRad(r) + 1e-13);
    }

    [Property]
    public void Scaling_a_quaternion_is_undone_by_normalizing(Rotation q, byte scale)
    {
        var s = scale + 1.0;
        var scaled = new Rotation(s * q.W, s * q.X, s * q.Y, s * q.Z);
        Near.Same(q, scaled.Normalized(), 1e-14);
    }

    [Fact]
    public void The_zero_quaternion_normalizes_to_no_rotation() => Assert.Equal(Rotation.Identity, default(Rotation).Normalized());

    // A record prints its public properties, and Inverse is again a Rotation: left to itself that text never ends.
    [Fact]
    public void A_rotation_prints_its_four_components() => Assert.Equal("0.5 -0.5 0.5 -0.5", new Rotation(0.5, -0.5, 0.5, -0.5).ToString());
}
