using Saltograph.Imu;
using Saltograph.Testing;

namespace Saltograph.Ahrs.Tests;

public sealed class CalibrationTests
{
    [Fact]
    public void Two_positions_of_an_axis_give_its_offset_and_scale()
    {
        // Readings of +1.02 and -0.96 g: offset 0.03 g, scale 0.99 (by definition).
        const double G = 9.8;
        Vector3D[] poses =
        [
            new(1.02 * G, 0, 0), new(-0.96 * G, 0, 0), new(0.03 * G, G, 0), new(0.03 * G, -G, 0), new(0.03 * G, 0, G), new(0.03 * G, 0, -G),
        ];
        var result = AccelerometerCalibration.FromSixPositions(poses, G);
        Assert.Equal(0.03 * G, result.Calibration!.Offset.X, 1e-12);
        Assert.Equal(1 / 0.99, result.Calibration.Correction.RowX.X, 1e-12);
        Assert.Equal(0, result.ResidualRms!.Value, 1e-12);
    }

    [Fact]
    public void A_missing_position_is_named()
    {
        var result = AccelerometerCalibration.FromSixPositions([new(9.8, 0, 0), new(-9.8, 0, 0), new(0, 9.8, 0)], 9.8);
        Assert.Null(result.Calibration);
        Assert.Equal("3 poses, none with axis y down; needed: each axis up and down", result.Reason);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Ellipsoid_recovers_offset_scale_and_squareness_from_poses_in_any_direction(int seed)
    {
        var random = new Random(seed);
        double Draw() => (2 * random.NextDouble()) - 1;
        var offset = 0.4 * new Vector3D(Draw(), Draw(), Draw());
        var shape = new Matrix3(
            new(1 + (0.03 * Draw()), 0.01 * Draw(), 0.01 * Draw()), new(0, 1 + (0.03 * Draw()), 0.01 * Draw()), new(0, 0, 1 + (0.03 * Draw())));
        shape = shape with
        {
            RowY = new(shape.RowX.Y, shape.RowY.Y, shape.RowY.Z),
            RowZ = new(shape.RowX.Z, shape.RowY.Z, shape.RowZ.Z),
        };
        var readings = Enumerable.Range(0, 20)
            .Select(_ => (shape.Inverted() * (9.81 * new Vector3D(Draw(), Draw(), Draw()).Normalized())) + offset).ToArray();

        var result = AccelerometerCalibration.FromEllipsoid(readings, 9.81);
        Assert.InRange((result.Calibration!.Offset - offset).Length, 0, 1e-9);
        Assert.InRange((result.Calibration.Correction.RowX - shape.RowX).Length, 0, 1e-9);
        Assert.InRange((result.Calibration.Correction.RowY - shape.RowY).Length, 0, 1e-9);
        Assert.InRange((result.Calibration.Correction.RowZ - shape.RowZ).Length, 0, 1e-9);
        Assert.InRange(result.ResidualRms!.Value, 0, 1e-9);
    }

    [Fact]
    public void Ellipsoid_refuses_poses_that_are_few_or_lie_in_a_plane()
    {
        var few = AccelerometerCalibration.FromEllipsoid([new(9.8, 0, 0), new(0, 9.8, 0)], 9.8);
        Assert.Equal("2 still poses; needed: 9 or more, well spread", few.Reason);
        var plane = Enumerable.Range(0, 12).Select(i => new Vector3D(9.8 * Math.Cos(i), 9.8 * Math.Sin(i), 0)).ToArray();
        var flat = AccelerometerCalibration.FromEllipsoid(plane, 9.8);
        Assert.Null(flat.Calibration);
        Assert.Contains("do not spread", flat.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Offset_follows_the_temperature_when_it_is_measured_and_not_otherwise()
    {
        var calibration = SensorCalibration.None.WithTemperature(10, new(0.01, 0, 0), 30, new(0.03, 0, 0));
        Assert.Equal(1 - 0.02, calibration.Apply(new(1, 0, 0), 20).X, 1e-12);
        Assert.Equal(1 - 0.01, calibration.Apply(new(1, 0, 0)).X, 1e-12);
        Assert.Throws<ArgumentOutOfRangeException>(() => calibration.WithTemperature(20, default, 20.5, default));
    }

    [Fact]
    public void Whole_turns_of_a_real_sensor_give_its_bias_and_scale_errors()
    {
        // Data and its own figures: imucal example data (A. Kuederle et al., JOSS 7(73):4338, 2022): raw sums of -371.9,
        // -354.8, -359.2 deg for whole turns of -360 deg; scale errors of +2.8, -1.8, -0.2 %.
        Shared.Require("datasets", "imu-known-turns");
        var (rates, forces) = Read();
        const double RateHz = 102.4;
        var still = StillPhases.Find(rates, forces, RateHz);
        var bias = GyroscopeCalibration.FromRest(still).Calibration!.Offset;
        Assert.Equal(-0.60, bias.X * Angles.DegPerRad, 0.1);
        Assert.Equal(-0.37, bias.Y * Angles.DegPerRad, 0.1);
        Assert.Equal(0.06, bias.Z * Angles.DegPerRad, 0.1);

        KnownTurn Turn(double startS, double endS, Vector3D axis) => KnownTurn.Of(
            rates.AsSpan((int)(startS * RateHz)..(int)(endS * RateHz)), bias, RateHz, -2 * Math.PI * axis);
        KnownTurn[] turns =
        [
            Turn(66.1133, 69.2676, Vector3D.UnitX), Turn(78.9160, 82.0801, Vector3D.UnitY), Turn(89.8926, 92.8906, Vector3D.UnitZ),
        ];
        Assert.All(turns, t => Assert.InRange(Math.Abs((t.MeasuredRad.Length / (2 * Math.PI)) - 1), 0, 0.03));
        var scale = GyroscopeCalibration.FromTurns(bias, turns).Calibration!.Correction;
        Assert.Equal(1.028, 1 / scale.RowX.X, 0.003);
        Assert.Equal(0.982, 1 / scale.RowY.Y, 0.003);
        Assert.Equal(0.998, 1 / scale.RowZ.Z, 0.003);
    }

    [Fact]
    public void Six_faces_of_a_real_sensor_meet_gravity_after_calibration()
    {
        Shared.Require("datasets", "imu-known-turns");
        var (rates, forces) = Read();
        var faces = StillPhases.Find(rates, forces, 102.4, shortestS: 3).Select(p => p.MeanSpecificForceMps2).ToArray();
        var before = Math.Sqrt(faces.Average(f => Math.Pow(f.Length - 9.81, 2)));
        var result = AccelerometerCalibration.FromSixPositions(faces, 9.81);
        Assert.InRange(before, 0.4, 0.8);
        Assert.InRange(result.ResidualRms!.Value, 0, 0.05);
    }

    [Fact]
    public void Turns_that_leave_an_axis_open_are_refused()
    {
        var result = GyroscopeCalibration.FromTurns(Vector3D.Zero, [new(new(6, 0, 0), new(6.28, 0, 0))]);
        Assert.Null(result.Calibration);
        Assert.Equal("1 turns leave the scale of y open; needed: 1 rad or more about each axis", result.Reason);
    }

    private static (Vector3D[] Rates, Vector3D[] Forces) Read()
    {
        var t = SharedTable.Read(Repository.SharedPath("datasets", "imu-known-turns", "turns_1.csv.gz"));
        Vector3D[] Of(string name, string unit) =>
            [.. Enumerable.Range(0, t.Rows).Select(i => new Vector3D(t[$"{name}_x_{unit}"][i], t[$"{name}_y_{unit}"][i], t[$"{name}_z_{unit}"][i]))];
        return (Of("gyr", "radps"), Of("acc", "mps2"));
    }
}
