using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>Offset, scale and squareness of an accelerometer from still poses, with gravity as the measure.</summary>
public static class AccelerometerCalibration
{
    /// <summary>Fewest poses for the ellipsoid: as many as it has parameters; 12 or more are better.</summary>
    public const int FewestPoses = 9;

    private const int Parameters = 9;

    /// <summary>
    /// Six positions: each axis once up and once down. Offset = half the sum, scale = half the difference of the two readings.
    /// </summary>
    /// <param name="meansMps2">Mean readings of the poses, m/s2, in any order; each axis must be the largest once with either sign.</param>
    /// <param name="gravityMps2">Local gravity, m/s2, 9.7 to 9.9 (see <see cref="Gravity.Wgs84NormalMps2"/>).</param>
    public static CalibrationResult FromSixPositions(IReadOnlyList<Vector3D> meansMps2, double gravityMps2)
    {
        ArgumentNullException.ThrowIfNull(meansMps2);
        Allowed.Range(gravityMps2, 9.7, 9.9);
        Span<double> offset = stackalloc double[3];
        Span<double> scale = stackalloc double[3];
        for (var axis = 0; axis < 3; axis++)
        {
            var up = Mean(meansMps2, axis, 1);
            var down = Mean(meansMps2, axis, -1);
            if (up is null || down is null)
            {
                return CalibrationResult.Refused(
                    $"{meansMps2.Count} poses, none with axis {"xyz"[axis]} {(up is null ? "up" : "down")}; needed: each axis up and down");
            }

            offset[axis] = (up.Value + down.Value) / 2;
            scale[axis] = (up.Value - down.Value) / 2 / gravityMps2;
        }

        var calibration = new SensorCalibration(
            new(offset[0], offset[1], offset[2]), Matrix3.Diagonal(new(1 / scale[0], 1 / scale[1], 1 / scale[2])));
        return new(calibration, Residual(calibration, meansMps2, gravityMps2), string.Empty);
    }

    /// <summary>
    /// Ellipsoid: minimises sum (|K (reading - offset)|^2 - g^2)^2 over the offset and a symmetric K, after I. Frosio,
    /// F. Pedersini, N. A. Borghese, IEEE Trans. Instrumentation and Measurement 58(6):2034-2041, 2009. No pose needs to be level.
    /// </summary>
    /// <param name="meansMps2">Mean readings of still poses, m/s2, well spread; at least <see cref="FewestPoses"/>.</param>
    /// <param name="gravityMps2">Local gravity, m/s2, 9.7 to 9.9.</param>
    public static CalibrationResult FromEllipsoid(IReadOnlyList<Vector3D> meansMps2, double gravityMps2)
    {
        ArgumentNullException.ThrowIfNull(meansMps2);
        Allowed.Range(gravityMps2, 9.7, 9.9);
        if (meansMps2.Count < FewestPoses)
        {
            return CalibrationResult.Refused($"{meansMps2.Count} still poses; needed: {FewestPoses} or more, well spread");
        }

        // Offset, then K by xx xy xz yy yz zz. Levenberg-Marquardt from the ideal sensor.
        double[] p = [0, 0, 0, 1, 0, 0, 1, 0, 1];
        var damping = 1e-3;
        var cost = Cost(p, meansMps2, gravityMps2);
        var normal = new double[Parameters * Parameters];
        var gradient = new double[Parameters];
        for (var round = 0; round < 100; round++)
        {
            Linearize(p, meansMps2, gravityMps2, normal, gradient);
            if (round == 0 && !LinearSystem.IsWellConditioned(normal, Parameters, 1e-7))
            {
                return CalibrationResult.Refused("the poses do not spread over all directions; needed: tilted to every side, up and down");
            }

            var step = LinearSystem.SolveDamped(normal, gradient, damping);
            var next = p.Zip(step, (a, b) => a - b).ToArray();
            var nextCost = Cost(next, meansMps2, gravityMps2);
            if (nextCost < cost)
            {
                var settled = cost - nextCost < 1e-15 * cost;
                (p, cost, damping) = (next, nextCost, damping / 10);
                if (settled)
                {
                    break;
                }
            }
            else if ((damping *= 10) > 1e12)
            {
                break;
            }
        }

        var calibration = new SensorCalibration(new(p[0], p[1], p[2]), Shape(p));
        return new(calibration, Residual(calibration, meansMps2, gravityMps2), string.Empty);
    }

    private static Matrix3 Shape(ReadOnlySpan<double> p) =>
        new(new(p[3], p[4], p[5]), new(p[4], p[6], p[7]), new(p[5], p[7], p[8]));

    private static double Cost(ReadOnlySpan<double> p, IReadOnlyList<Vector3D> means, double g)
    {
        var shape = Shape(p);
        var offset = new Vector3D(p[0], p[1], p[2]);
        double sum = 0;
        foreach (var mean in means)
        {
            var e = (shape * (mean - offset)).LengthSquared - (g * g);
            sum += e * e;
        }

        return sum;
    }

    /// <summary>J' J and J' e for e = |K (m - o)|^2 - g^2: with d = m - o and v = K d, de/do = -2 K v and de/dKij = 2 (vi dj + vj di).</summary>
    private static void Linearize(ReadOnlySpan<double> p, IReadOnlyList<Vector3D> means, double g, double[] normal, double[] gradient)
    {
        Array.Clear(normal);
        Array.Clear(gradient);
        var shape = Shape(p);
        Span<double> j = stackalloc double[Parameters];
        foreach (var mean in means)
        {
            var d = mean - new Vector3D(p[0], p[1], p[2]);
            var v = shape * d;
            var byOffset = -2 * (shape * v);
            j[0] = byOffset.X;
            j[1] = byOffset.Y;
            j[2] = byOffset.Z;
            j[3] = 2 * v.X * d.X;
            j[4] = 2 * ((v.X * d.Y) + (v.Y * d.X));
            j[5] = 2 * ((v.X * d.Z) + (v.Z * d.X));
            j[6] = 2 * v.Y * d.Y;
            j[7] = 2 * ((v.Y * d.Z) + (v.Z * d.Y));
            j[8] = 2 * v.Z * d.Z;
            var e = v.LengthSquared - (g * g);
            for (var a = 0; a < Parameters; a++)
            {
                gradient[a] += j[a] * e;
                for (var b = 0; b < Parameters; b++)
                {
                    normal[(a * Parameters) + b] += j[a] * j[b];
                }
            }
        }
    }

    private static double Residual(SensorCalibration calibration, IReadOnlyList<Vector3D> means, double g) =>
        Math.Sqrt(means.Average(m => Math.Pow(calibration.Apply(m).Length - g, 2)));

    /// <summary>Mean reading of an axis over the poses in which it is the largest, with the given sign.</summary>
    private static double? Mean(IReadOnlyList<Vector3D> means, int axis, int sign)
    {
        var values = means.Select(m => (double[])[m.X, m.Y, m.Z])
            .Where(m => sign * m[axis] > 0 && m.All(c => Math.Abs(c) <= Math.Abs(m[axis])))
            .Select(m => m[axis]).ToArray();
        return values.Length == 0 ? null : values.Average();
    }
}
