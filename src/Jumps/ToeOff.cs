using MathNet.Numerics.LinearAlgebra;
using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>The last contact as the shank of the foot that leaves last shows it.</summary>
/// <param name="Time">Instant.</param>
/// <param name="SigmaS">Standard uncertainty, s.</param>
/// <remarks>
/// While the toe pushes, the floor's fading force bends the course of the shank's acceleration; from the moment the foot is
/// free the leg swings on, smoothly. So the acceleration is followed by a parabola up to an instant and by a straight line
/// from there on, and the instant is where both together fit best. It is a weak sign, one of the third order: it never
/// stands alone, but moves the instant at which the whole push fades by what the two uncertainties allow (Bayes' rule with
/// a normal prior).
/// </remarks>
internal readonly record struct ToeOff(SampleTime Time, double SigmaS)
{
    private const double BeforeS = 0.030;
    private const double AfterS = 0.012;
    private const double SearchS = Steps * GridS;
    private const double GridS = 0.0005;
    private const int Steps = 18;

    // What the fade alone is off by, 1 sigma, over forms of jumps.
    private const double PriorSigmaS = 0.003;

    // Neighbouring errors of the fit are of one kind (straps, muscles, filters): so many count as independent.
    private const double IndependentErrors = 6;

    /// <summary>Looks around an instant; null when a shank was not seen there without gaps, or not often enough.</summary>
    /// <param name="shanks">Of the foot that leaves last; both, when both leave together.</param>
    /// <param name="around">Where the push as a whole fades.</param>
    public static ToeOff? Find(ReadOnlySpan<SampleTrack> shanks, SampleTime around)
    {
        var weights = new double[(2 * Steps) + 1];
        for (var k = 0; k < weights.Length; k++)
        {
            weights[k] = Math.Exp(-Math.Pow((k - Steps) * GridS / PriorSigmaS, 2) / 2);
        }

        foreach (var shank in shanks)
        {
            if (!TryWeigh(shank, around, weights))
            {
                return null;
            }
        }

        var (sum, sumX, sumXx) = (0.0, 0.0, 0.0);
        for (var k = 0; k < weights.Length; k++)
        {
            var x = (k - Steps) * GridS;
            sum += weights[k];
            sumX += weights[k] * x;
            sumXx += weights[k] * x * x;
        }

        var mean = sumX / sum;
        return new(around.PlusSeconds(mean), Math.Sqrt(Math.Max(0, (sumXx / sum) - (mean * mean))));
    }

    /// <summary>Multiplies the weight of each instant by the likelihood that one shank gives it.</summary>
    private static bool TryWeigh(SampleTrack shank, SampleTime around, double[] weights)
    {
        var from = around.PlusSeconds(-BeforeS);
        var to = around.PlusSeconds(AfterS);

        // Slower than this there may be no sample after the latest instant that is tried.
        if (1 / shank.SampleRateHz >= AfterS - SearchS || !shank.Covers(from, to) || shank.TurnGuessed(from, to))
        {
            return false;
        }

        var first = shank.IndexAtOrAfter(from);
        var timesS = new double[(int)(shank.IndexAtOrAfter(to) - first)];

        // A hole that is too short to count elsewhere may leave nothing to fit here; two fewer than the rate gives are the ends.
        if (timesS.Length < ((BeforeS + AfterS) * shank.SampleRateHz) - 2)
        {
            return false;
        }

        var forces = Matrix<double>.Build.Dense(timesS.Length, 3);
        for (var i = 0; i < timesS.Length; i++)
        {
            ref readonly var point = ref shank[first + i];
            timesS[i] = point.Time - around;
            forces[i, 0] = point.SpecificForceEarthMps2.X;
            forces[i, 1] = point.SpecificForceEarthMps2.Y;
            forces[i, 2] = point.SpecificForceEarthMps2.Z;
        }

        var misfits = new double[weights.Length];
        for (var k = 0; k < misfits.Length; k++)
        {
            misfits[k] = Misfit(timesS, forces, (k - Steps) * GridS);
        }

        var least = misfits.Min();
        for (var k = 0; k < weights.Length && least > 0; k++)
        {
            weights[k] *= Math.Pow(least / misfits[k], IndependentErrors / 2);
        }

        return least > 0;
    }

    /// <summary>Sum of squares that is left by a parabola before and a straight line after, joined at the kink.</summary>
    private static double Misfit(double[] timesS, Matrix<double> forces, double kinkS)
    {
        var curve = Matrix<double>.Build.Dense(timesS.Length, 4, (row, column) =>
        {
            var x = (timesS[row] - kinkS) / BeforeS;
            return column switch
            {
                0 => 1,
                1 => Math.Max(x, 0),
                2 => Math.Min(x, 0),
                _ => x < 0 ? x * x : 0,
            };
        });
        return (forces - (curve * curve.QR().Solve(forces))).EnumerateColumns().Sum(column => column.DotProduct(column));
    }
}
