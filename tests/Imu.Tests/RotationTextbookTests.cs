using FsCheck.Xunit;

namespace Saltograph.Imu.Tests;

/// <summary>Rotations against formulas that do not use quaternion products.</summary>
[Properties(Arbitrary = [typeof(Generators)])]
public sealed class RotationTextbookTests
{
    // The direction cosine matrix of a unit quaternion, as printed in textbooks on attitude (for example J. B. Kuipers,
    // Quaternions and Rotation Sequences, 1999, for the rotation of vectors); written from memory.
    [Property]
    public void Rotating_equals_the_direction_cosine_matrix(Rotation q, Vector3D v)
    {
        var (w, x, y, z) = q;
        var expected = new Vector3D(
            (((w * w) + (x * x) - (y * y) - (z * z)) * v.X) + (2 * ((x * y) - (w * z)) * v.Y) + (2 * ((x * z) + (w * y)) * v.Z),
            (2 * ((x * y) + (w * z)) * v.X) + (((w * w) - (x * x) + (y * y) - (z * z)) * v.Y) + (2 * ((y * z) - (w * x)) * v.Z),
            (2 * ((x * z) - (w * y)) * v.X) + (2 * ((y * z) + (w * x)) * v.Y) + (((w * w) - (x * x) - (y * y) + (z * z)) * v.Z));
        Near.Equal(expected, q.Rotate(v), 1e-11);
    }

    // Rodrigues' formula: v cos a + (k x v) sin a + k (k . v)(1 - cos a), for the unit axis k and the angle a.
    [Property]
    public void Rotating_by_a_rotation_vector_equals_Rodrigues_formula(Vector3D direction, Vector3D v, short milliradians)
    {
        if (direction == Vector3D.Zero)
        {
            return;
        }

        var axis = direction.Normalized();
        var angle = milliradians * 1e-3;
        var expected = (Math.Cos(angle) * v) + (Math.Sin(angle) * Vector3D.Cross(axis, v))
            + ((1 - Math.Cos(angle)) * Vector3D.Dot(axis, v) * axis);
        Near.Equal(expected, Rotation.FromRotationVector(angle * axis).Rotate(v), 1e-11);
    }

    [Fact]
    public void A_quarter_turn_about_the_vertical_takes_forward_to_the_left()
    {
        var q = Rotation.AboutVertical(Math.PI / 2);
        Near.Equal(Vector3D.UnitY, q.Rotate(Vector3D.UnitX), 1e-15);
        Near.Equal(-Vector3D.UnitX, q.Rotate(Vector3D.UnitY), 1e-15);
        Assert.Equal(Vector3D.UnitZ, q.Rotate(Vector3D.UnitZ));
    }

    // At 1e-9 rad the exact formula and its limit meet; a jump there would bias the integration of slow rates.
    [Theory]
    [InlineData(0)]
    [InlineData(1e-300)]
    [InlineData(0.999e-9)]
    [InlineData(1.001e-9)]
    [InlineData(1e-4)]
    public void A_tiny_rotation_vector_gives_half_of_it_as_the_vector_part(double angleRad)
    {
        var q = Rotation.FromRotationVector(angleRad * Vector3D.UnitY);
        Near.Equal(angleRad / 2, q.Y, (1e-16 * angleRad) + (Math.Pow(angleRad, 3) / 48));
        Near.Equal(1, q.W, (angleRad * angleRad / 8) + 1e-16);
    }

    [Property]
    public void The_angle_to_the_identity_is_the_length_of_the_rotation_vector(Vector3D direction, ushort share)
    {
        if (direction == Vector3D.Zero)
        {
            return;
        }

        var angle = Math.PI * share / ushort.MaxValue;
        Near.Equal(angle, Rotation.Identity.AngleToRad(Rotation.FromRotationVector(angle * direction.Normalized())), 1e-14);
    }
}
