namespace Saltograph.Ahrs;

/// <summary>Small symmetric systems, by Gaussian elimination with pivots.</summary>
internal static class LinearSystem
{
    /// <summary>Solves (A + damping diag(A)) x = b.</summary>
    public static double[] SolveDamped(ReadOnlySpan<double> a, ReadOnlySpan<double> b, double damping)
    {
        var n = b.Length;
        var m = a.ToArray();
        for (var i = 0; i < n; i++)
        {
            m[(i * n) + i] *= 1 + damping;
        }

        var x = b.ToArray();
        Eliminate(m, x, n);
        return x;
    }

    /// <summary>Whether the smallest pivot, after scaling to a unit diagonal, is above the limit.</summary>
    public static bool IsWellConditioned(ReadOnlySpan<double> a, int n, double limit)
    {
        var m = new double[n * n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j < n; j++)
            {
                m[(i * n) + j] = a[(i * n) + j] / Math.Sqrt(a[(i * n) + i] * a[(j * n) + j]);
            }
        }

        return Eliminate(m, new double[n], n) > limit;
    }

    private static double Eliminate(double[] m, double[] x, int n)
    {
        var smallest = double.PositiveInfinity;
        for (var k = 0; k < n; k++)
        {
            var pivot = k;
            for (var i = k + 1; i < n; i++)
            {
                pivot = Math.Abs(m[(i * n) + k]) > Math.Abs(m[(pivot * n) + k]) ? i : pivot;
            }

            for (var j = 0; j < n; j++)
            {
                (m[(k * n) + j], m[(pivot * n) + j]) = (m[(pivot * n) + j], m[(k * n) + j]);
            }

            (x[k], x[pivot]) = (x[pivot], x[k]);
            var head = m[(k * n) + k];
            smallest = double.IsFinite(head) ? Math.Min(smallest, Math.Abs(head)) : 0;
            for (var i = k + 1; i < n; i++)
            {
                var factor = m[(i * n) + k] / head;
                for (var j = k; j < n; j++)
                {
                    m[(i * n) + j] -= factor * m[(k * n) + j];
                }

                x[i] -= factor * x[k];
            }
        }

        for (var i = n - 1; i >= 0; i--)
        {
            for (var j = i + 1; j < n; j++)
            {
                x[i] -= m[(i * n) + j] * x[j];
            }

            x[i] /= m[(i * n) + i];
        }

        return smallest;
    }
}
