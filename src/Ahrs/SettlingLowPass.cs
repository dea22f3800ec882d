using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Saltograph.Signals;

namespace Saltograph.Ahrs;

/// <summary>
/// Coefficients of the low pass that VQF uses everywhere: second-order Butterworth given by its time constant,
/// fc = sqrt(2) / (2 pi tau), with a running mean until one time constant has passed.
/// </summary>
/// <remarks>A time constant below half a sample interval passes the input through.</remarks>
public readonly record struct SettlingLowPass
{
    /// <summary>Derives the coefficients.</summary>
    /// <param name="timeConstantS">Time constant tau, s, 0 or more.</param>
    /// <param name="intervalS">Sample interval, s.</param>
    public SettlingLowPass(double timeConstantS, double intervalS)
    {
        Section = timeConstantS < intervalS / 2
            ? new(1, 0, 0, 0, 0)
            : BiquadCoefficients.ButterworthLowPass(Math.Sqrt(2) / (2 * Math.PI * timeConstantS), 1 / intervalS);
        TimeConstantS = timeConstantS;
        IntervalS = intervalS;
        B0 = Vector256.Create(Section.B0);
        B1 = Vector256.Create(Section.B1);
        B2 = Vector256.Create(Section.B2);
        A1 = Vector256.Create(Section.A1);
        A2 = Vector256.Create(Section.A2);
    }

    /// <summary>The section itself.</summary>
    public BiquadCoefficients Section { get; }

    /// <summary>Time constant, s.</summary>
    public double TimeConstantS { get; }

    /// <summary>Sample interval, s.</summary>
    public double IntervalS { get; }

    internal Vector256<double> B0 { get; }

    internal Vector256<double> B1 { get; }

    internal Vector256<double> B2 { get; }

    internal Vector256<double> A1 { get; }

    internal Vector256<double> A2 { get; }
}

/// <summary>Memory of up to four such low passes that run side by side in vector lanes.</summary>
internal record struct SettlingLowPassState
{
    // While the running mean lasts, S1 holds the sum of the samples so far and Count their number; afterwards Count is -1
    // and S1, S2 are the memories of the section (transposed direct form II).
    public Vector256<double> S1;
    public Vector256<double> S2;
    public int Count;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Vector256<double> Step(in SettlingLowPass low, Vector256<double> input)
    {
        if (Count >= 0)
        {
            return StepStart(low, input);
        }

        var output = (low.B0 * input) + S1;
        S1 = (low.B1 * input) - (low.A1 * output) + S2;
        S2 = (low.B2 * input) - (low.A2 * output);
        return output;
    }

    /// <summary>Ends the running mean in the steady state for a constant value.</summary>
    public void Settle(in SettlingLowPass low, Vector256<double> value)
    {
        S1 = value * (Vector256<double>.One - low.B0);
        S2 = value * (low.B2 - low.A2);
        Count = -1;
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private Vector256<double> StepStart(in SettlingLowPass low, Vector256<double> input)
    {
        Count++;
        S1 += input;
        var mean = S1 / Vector256.Create((double)Count);
        if (Count * low.IntervalS >= low.TimeConstantS)
        {
            Settle(low, mean);
        }

        return mean;
    }
}
