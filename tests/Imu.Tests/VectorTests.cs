using FsCheck.Xunit;

namespace Saltograph.Imu.Tests;

/// <summary>The identities of any textbook on vector algebra, on random vectors.</summary>
[Properties(Arbitrary = [typeof(Generators)])]
public sealed class VectorTests
{
    [Property]
    public void Addition_has_zero_and_opposites(Vector3D a, Vector3D b)
    {
        Assert.Equal(a, a + Vector3D.Zero);
        Assert.Equal(Vector3D.Zero, a + -a);
        Assert.Equal(a + b, b + a);
        Assert.Equal(a - b, a + -b);
    }

    [Property]
    public void Scaling_multiplies_the_length(Vector3D a, sbyte scale)
    {
        Near.Equal(Math.Abs((double)scale) * a.Length, (scale * a).Length, 1e-10);
        Assert.Equal(scale * a, a * scale);
        Near.Equal(a, a * 8 / 8, 0);
    }

    // Lagrange's identity: |a x b|^2 + (a . b)^2 = |a|^2 |b|^2.
    [Property]
    public void Cross_and_dot_products_obey_Lagranges_identity(Vector3D a, Vector3D b)
    {
        var right = a.LengthSquared * b.LengthSquared;
        Near.Equal(right, Vector3D.Cross(a, b).LengthSquared + Math.Pow(Vector3D.Dot(a, b), 2), 1e-12 * (1 + right));
    }

    [Property]
    public void The_cross_product_is_perpendicular_to_both_factors_and_changes_sign_with_their_order(Vector3D a, Vector3D b)
    {
        var cross = Vector3D.Cross(a, b);
        var rounding = 1e-13 * (1 + (a.Length * b.Length * (a.Length + b.Length)));
        Near.Equal(0, Vector3D.Dot(cross, a), rounding);
        Near.Equal(0, Vector3D.Dot(cross, b), rounding);
        Assert.Equal(cross, -Vector3D.Cross(b, a));
    }

    [Fact]
    public void The_cross_product_is_right_handed()
    {
        Assert.Equal(Vector3D.UnitZ, Vector3D.Cross(Vector3D.UnitX, Vector3D.UnitY));
        Assert.Equal(Vector3D.UnitX, Vector3D.Cross(Vector3D.UnitY, Vector3D.UnitZ));
        Assert.Equal(Vector3D.UnitY, Vector3D.Cross(Vector3D.UnitZ, Vector3D.UnitX));
    }

    [Property]
    public void A_normalized_vector_has_length_one_and_the_same_direction(Vector3D a)
    {
        if (a == Vector3D.Zero)
        {
            return;
        }

        Near.Equal(1, a.Normalized().Length, 1e-15);
        Near.Equal(a, a.Length * a.Normalized(), 1e-12);
    }

    [Fact]
    public void The_zero_vector_stays_zero_when_normalized() => Assert.Equal(Vector3D.Zero, Vector3D.Zero.Normalized());

    [Theory]
    [InlineData(double.NaN, 0, 0)]
    [InlineData(0, double.PositiveInfinity, 0)]
    [InlineData(0, 0, double.NegativeInfinity)]
    public void A_vector_is_not_finite_when_one_component_is_not(double x, double y, double z)
    {
        var broken = new Vector3D(x, y, z);
        var at = new SampleTime(0);
        Assert.False(broken.IsFinite);
        Assert.False(new ImuSample(at, broken, Vector3D.Zero).IsFinite);
        Assert.False(new ImuSample(at, Vector3D.Zero, broken).IsFinite);
        Assert.True(new ImuSample(at, Vector3D.UnitX, Vector3D.UnitZ).IsFinite);
    }
}
