using System.Numerics;
using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Whether what came in was smoothed before: then contacts are not where the force leaves zero and reaches it.</summary>
/// <remarks>
/// A contact is a step or a kink of the force, whose spectrum falls as 1/f to 1/f^3; a low pass falls faster. So the amplitude of
/// the trunk's vertical force at 30 to 45 Hz is compared with that at 8 to 15 Hz: 0.07 to 0.6 on 14 jumps on force plates, 0.05 and more
/// on 240 simulated ones, 0.003 to 0.024 on the same plates behind a low pass of 15 Hz, under 0.001 on motion capture (240 Hz, differentiated twice).
/// </remarks>
internal static class InputBand
{
    private const double LowFromHz = 8;
    private const double LowToHz = 15;
    private const double HighFromHz = 30;
    private const double HighToHz = 45;

    // A slow sensor has nothing to compare: above 0.9 of half its rate its own filter works.
    private const double LeastRateHz = HighToHz / 0.45;

    private const double SurelyWholeRatio = 0.04;
    private const double SurelySmoothedRatio = 0.01;

    // Finer than the window resolves.
    private const double StepHz = 1;

    /// <summary>How far the force over a window is taken for smoothed: 0 not at all, 1 surely.</summary>
    public static double SmoothedShare(LocalSignal force, SampleTime from, SampleTime to, double sampleRateHz)
    {
        var first = force.IndexAtOrAfter(from);
        var end = force.IndexAtOrAfter(to);
        if (sampleRateHz < LeastRateHz || end - first < 2)
        {
            return 0;
        }

        var ratio = Math.Sqrt(Power(force, first, end, HighFromHz, HighToHz) / Power(force, first, end, LowFromHz, LowToHz));
        return double.IsNaN(ratio) ? 0 : Math.Clamp(Math.Log(SurelyWholeRatio / ratio) / Math.Log(SurelyWholeRatio / SurelySmoothedRatio), 0, 1);
    }

    // Mean power per frequency behind a Hann window, which keeps what is at 1 Hz out of what is at 30.
    private static double Power(LocalSignal force, int first, int end, double fromHz, double toHz)
    {
        var beginning = force.TimeAt(first);
        var lengthS = force.TimeAt(end - 1) - beginning;
        var (sum, count) = (0.0, 0);
        for (var hz = fromHz; hz <= toHz; hz += StepHz)
        {
            var line = Complex.Zero;
            for (var i = first; i < end; i++)
            {
                var timeS = force.TimeAt(i) - beginning;
                line += force[i] * (1 - Math.Cos(2 * Math.PI * timeS / lengthS)) * Complex.FromPolarCoordinates(1, -2 * Math.PI * hz * timeS);
            }

            sum += (line.Real * line.Real) + (line.Imaginary * line.Imaginary);
            count++;
        }

        return sum / count;
    }
}
