using FsCheck.Xunit;

namespace Saltograph.Imu.Tests;

/// <summary>Heading as the twist about the vertical, and the shortest rotation between two directions.</summary>
[Properties(Arbitrary = [typeof(Generators)])]
public sealed class HeadingAndShortestTests
{
    // The two angles meet in tan: near an upside-down frame a heading has no digits left, so tilts end at 170 deg.
    private const double LargestTiltRad = 170 * Angles.RadPerDeg;

    [Property]
    public void The_heading_is_what_remains_without_the_tilt(ushort headingShare, ushort axisShare, ushort tiltShare)
    {
        var heading = Angles.WrapRad(2 * Math.PI * headingShare / ushort.MaxValue);
        var axis = 2 * Math.PI * axisShare / ushort.MaxValue;
        var tilt = Rotation.FromRotationVector(
            LargestTiltRad * tiltShare / ushort.MaxValue * new Vector3D(Math.Cos(axis), Math.Sin(axis), 0));

        var earthFromSensor = Rotation.AboutVertical(heading) * tilt;
        var opposite = new Rotation(-earthFromSensor.W, -earthFromSensor.X, -earthFromSensor.Y, -earthFromSensor.Z);

        Near.Equal(0, Angles.WrapRad(earthFromSensor.HeadingRad - heading), 1e-13);
        Near.Equal(0, Angles.WrapRad(opposite.HeadingRad - heading), 1e-13);
        Assert.InRange(earthFromSensor.HeadingRad, -Math.PI, Math.PI);
    }

    [Property]
    public void Turning_about_the_vertical_adds_to_the_heading(Rotation q, short milliradians)
    {
        // With z closer than 10 deg to straight down the heading of q itself is not defined well.
        if (q.Rotate(Vector3D.UnitZ).Z < Math.Cos(LargestTiltRad))
        {
            return;
        }

        var turned = Rotation.AboutVertical(milliradians * 1e-3) * q;
        Near.Equal(0, Angles.WrapRad(turned.HeadingRad - q.HeadingRad - (milliradians * 1e-3)), 1e-12);
    }

    [Fact]
    public void The_heading_of_a_frame_upside_down_is_zero()
    {
        Assert.Equal(0, new Rotation(0, 1, 0, 0).HeadingRad);
        Assert.Equal(0, new Rotation(0, 0, -1, 0).HeadingRad);
    }

    [Property]
    public void The_shortest_rotation_turns_one_direction_onto_the_other(Vector3D from, Vector3D to)
    {
        if (from == Vector3D.Zero || to == Vector3D.Zero)
        {
            return;
        }

        var q = Rotation.Shortest(from, to);
        Near.Equal(to.Normalized(), q.Rotate(from).Normalized(), 1e-9);

        // Shortest: the angle between the two directions and no twist about the first.
        var between = Math.Atan2(Vector3D.Cross(from, to).Length, Vector3D.Dot(from, to));
        Near.Equal(between, q.AngleToRad(Rotation.Identity), 1e-9);
        Near.Equal(0, Vector3D.Dot(new(q.X, q.Y, q.Z), from.Normalized()), 1e-9);
    }

    [Property]
    public void Opposite_directions_are_half_a_turn_apart(Vector3D from)
    {
        if (from == Vector3D.Zero)
        {
            return;
        }

        var q = Rotation.Shortest(from, -3 * from);
        Near.Equal(-from.Normalized(), q.Rotate(from).Normalized(), 1e-14);
        Near.Equal(Math.PI, q.AngleToRad(Rotation.Identity), 1e-14);
        Near.Equal(0, Vector3D.Dot(new(q.X, q.Y, q.Z), from.Normalized()), 1e-14);
    }

    // Where the general formula hands over to the one for opposite vectors the directions are sqrt(2e-12) rad from opposite:
    // the error there may reach that, 1.42 urad, and nowhere more.
    [Theory]
    [InlineData(1e-4, 1e-10)]
    [InlineData(1e-5, 1e-9)]
    [InlineData(1.5e-6, 1e-9)]
    [InlineData(1.3e-6, 1.42e-6)]
    [InlineData(1e-8, 1.42e-6)]
    public void Almost_opposite_directions_are_met_within_two_microradians(double fromOppositeRad, double tolerance)
    {
        var to = new Vector3D(-Math.Cos(fromOppositeRad), 0, Math.Sin(fromOppositeRad));
        Near.Equal(to, Rotation.Shortest(Vector3D.UnitX, to).Rotate(Vector3D.UnitX), tolerance);
    }

    [Property]
    public void A_direction_needs_no_rotation_onto_itself(Vector3D from)
    {
        if (from == Vector3D.Zero)
        {
            return;
        }

        Near.Same(Rotation.Identity, Rotation.Shortest(from, 2 * from), 1e-15);
    }
}
