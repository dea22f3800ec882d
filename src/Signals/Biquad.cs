namespace Saltograph.Signals;

/// <summary>
/// A second-order section y = b0 x + b1 x' + b2 x'' - a1 y' - a2 y'' (primes: one and two samples ago), a0 divided out.
/// </summary>
/// <param name="B0">Weight of the input.</param>
/// <param name="B1">Weight of the input one sample ago.</param>
/// <param name="B2">Weight of the input two samples ago.</param>
/// <param name="A1">Weight of the output one sample ago, sign as in the denominator.</param>
/// <param name="A2">Weight of the output two samples ago, sign as in the denominator.</param>
public readonly record struct BiquadCoefficients(double B0, double B1, double B2, double A1, double A2)
{
    /// <summary>
    /// Second-order Butterworth low pass by the bilinear transform with prewarping: -3 dB exactly at the cut-off, gain
    /// exactly 1 at 0 Hz.
    /// </summary>
    /// <param name="cutoffHz">Cut-off in Hz, inside (0, sampleRateHz / 2).</param>
    /// <param name="sampleRateHz">Sample rate in Hz, above 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">The cut-off is outside its band.</exception>
    public static BiquadCoefficients ButterworthLowPass(double cutoffHz, double sampleRateHz)
    {
        // Phrased as "not inside", so that NaN is refused too.
        if (!(cutoffHz > 0 && cutoffHz < sampleRateHz / 2))
        {
            throw new ArgumentOutOfRangeException(
                nameof(cutoffHz),
                FormattableString.Invariant($"Cut-off {cutoffHz} Hz must be inside (0, {sampleRateHz / 2}) Hz, half of the {sampleRateHz} Hz sample rate."));
        }

        // s -> (1 - z^-1)/(1 + z^-1)/c in 1/(s^2 + sqrt(2) s + 1), with c = tan(pi fc / fs).
        var c = Math.Tan(Math.PI * cutoffHz / sampleRateHz);
        var d = (c * c) + (Math.Sqrt(2) * c) + 1;
        var b0 = c * c / d;
        return new(b0, 2 * b0, b0, 2 * ((c * c) - 1) / d, (1 - (Math.Sqrt(2) * c) + (c * c)) / d);
    }
}

/// <summary>Memory of one second-order section, transposed direct form II. Copy it to keep a checkpoint.</summary>
/// <remarks>Always double: at a 3 s time constant and 500 Hz single precision loses the gain at 0 Hz altogether.</remarks>
public struct BiquadState
{
    /// <summary>First memory.</summary>
    public double S1;

    /// <summary>Second memory.</summary>
    public double S2;

    /// <summary>Takes one sample in, gives one out.</summary>
    public double Step(in BiquadCoefficients coefficients, double input)
    {
        var output = (coefficients.B0 * input) + S1;
        S1 = (coefficients.B1 * input) - (coefficients.A1 * output) + S2;
        S2 = (coefficients.B2 * input) - (coefficients.A2 * output);
        return output;
    }

    /// <summary>Puts the section into the state in which a constant input comes out unchanged.</summary>
    public void Settle(in BiquadCoefficients coefficients, double value)
    {
        S1 = value * (1 - coefficients.B0);
        S2 = value * (coefficients.B2 - coefficients.A2);
    }
}
