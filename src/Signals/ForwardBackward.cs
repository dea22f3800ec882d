namespace Saltograph.Signals;

/// <summary>
/// Filters a finished stretch of samples forward and then backward: no phase shift, so that an instant stays where it is.
/// </summary>
/// <remarks>
/// The attenuation counts twice (-6 dB at the cut-off). Each end is extended by odd reflection (2 x0 - x[i]) over
/// <see cref="ReflectedSamples"/> samples and started in the steady state, which keeps a constant or a ramp exact.
/// </remarks>
public static class ForwardBackward
{
    /// <summary>How far the reflection reaches, in samples (shorter when the stretch is shorter).</summary>
    public const int ReflectedSamples = 64;

    /// <summary>Filters in place.</summary>
    /// <param name="coefficients">The section, applied once in each direction.</param>
    /// <param name="values">Evenly sampled values; fewer than two are left alone.</param>
    public static void Apply(in BiquadCoefficients coefficients, Span<double> values)
    {
        if (values.Length < 2)
        {
            return;
        }

        var reflected = Math.Min(ReflectedSamples, values.Length - 1);
        Pass(coefficients, values, reflected);
        values.Reverse();
        Pass(coefficients, values, reflected);
        values.Reverse();
    }

    private static void Pass(in BiquadCoefficients coefficients, Span<double> values, int reflected)
    {
        var first = values[0];
        var state = default(BiquadState);
        state.Settle(coefficients, (2 * first) - values[reflected]);
        for (var i = reflected; i > 0; i--)
        {
            state.Step(coefficients, (2 * first) - values[i]);
        }

        for (var i = 0; i < values.Length; i++)
        {
            values[i] = state.Step(coefficients, values[i]);
        }
    }
}
