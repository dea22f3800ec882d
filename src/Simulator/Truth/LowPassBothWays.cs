namespace Saltograph.Simulator.Truth;

/// <summary>
/// Second-order Butterworth low-pass run forward and backward: the filter of the landing shock's definition, written apart
/// from the programme's own so that the truth does not lean on what it judges.
/// </summary>
internal static class LowPassBothWays
{
    /// <summary>Filters in place. The ends must be quiet or away from what is read.</summary>
    public static void Apply(Span<double> values, double cutoffHz, double sampleRateHz)
    {
        Pass(values, cutoffHz, sampleRateHz);
        values.Reverse();
        Pass(values, cutoffHz, sampleRateHz);
        values.Reverse();
    }

    private static void Pass(Span<double> values, double cutoffHz, double sampleRateHz)
    {
        // Bilinear transform of 1 / (s^2 + sqrt(2) s + 1) with the cut-off kept in place (pre-warped).
        var k = Math.Tan(Math.PI * cutoffHz / sampleRateHz);
        var norm = 1 / (1 + (Math.Sqrt(2) * k) + (k * k));
        var b0 = k * k * norm;
        var a1 = 2 * ((k * k) - 1) * norm;
        var a2 = (1 - (Math.Sqrt(2) * k) + (k * k)) * norm;
        var (x1, x2) = (values[0], values[0]);
        var (y1, y2) = (values[0], values[0]);
        for (var i = 0; i < values.Length; i++)
        {
            var x = values[i];
            var y = (b0 * (x + (2 * x1) + x2)) - (a1 * y1) - (a2 * y2);
            (x2, x1, y2, y1) = (x1, x, y1, y);
            values[i] = y;
        }
    }
}
