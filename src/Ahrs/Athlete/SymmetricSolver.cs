namespace Saltograph.Ahrs;

/// <summary>Solves with a covariance of the ten errors by Cholesky, scaled to a unit diagonal first (units differ by 1e6).</summary>
internal ref struct SymmetricSolver
{
    private const int N = ErrorIndex.Count;
    private readonly Span<double> _lower;
    private readonly Span<double> _scale;

    /// <summary>Factors once.</summary>
    /// <param name="workspace">At least N (N + 1) numbers.</param>
    /// <param name="covariance">Positive definite.</param>
    public SymmetricSolver(Span<double> workspace, ReadOnlySpan<double> covariance)
    {
        _lower = workspace[..(N * N)];
        _scale = workspace.Slice(N * N, N);
        for (var i = 0; i < N; i++)
        {
            _scale[i] = 1 / Math.Sqrt(covariance[(i * N) + i]);
        }

        for (var i = 0; i < N; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var v = covariance[(i * N) + j] * _scale[i] * _scale[j];
                for (var k = 0; k < j; k++)
                {
                    v -= _lower[(i * N) + k] * _lower[(j * N) + k];
                }

                // A perfectly correlated pair would give zero: 1e-15 is below what the correlation can resolve.
                _lower[(i * N) + j] = i == j ? Math.Sqrt(Math.Max(v, 1e-15)) : v / _lower[(j * N) + j];
            }
        }
    }

    /// <summary>Replaces b by covariance^-1 b.</summary>
    public readonly void Solve(Span<double> b)
    {
        for (var i = 0; i < N; i++)
        {
            var v = b[i] * _scale[i];
            for (var k = 0; k < i; k++)
            {
                v -= _lower[(i * N) + k] * b[k];
            }

            b[i] = v / _lower[(i * N) + i];
        }

        for (var i = N - 1; i >= 0; i--)
        {
            var v = b[i];
            for (var k = i + 1; k < N; k++)
            {
                v -= _lower[(k * N) + i] * b[k];
            }

            b[i] = v / _lower[(i * N) + i];
        }

        for (var i = 0; i < N; i++)
        {
            b[i] *= _scale[i];
        }
    }
}
