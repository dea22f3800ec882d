using Saltograph.Imu;

namespace Saltograph.Simulator.Motion;

/// <summary>
/// Vertical force of the floor over one phase, in body weights: a smooth passage between the forces at both ends plus an
/// early and a late bump. The bumps' areas are what a change of velocity and of height leaves to solve for.
/// </summary>
/// <remarks>
/// With u the share of the phase: F = f0 (1 - S) + f1 S + e E + l L, S = 10u^3 - 15u^4 + 6u^5, E = 105 u^2 (1-u)^4 and
/// L = 105 u^4 (1-u)^2 (both of area 1, centres of area 3/8 and 5/8). Everything integrates exactly.
/// </remarks>
internal sealed class FloorForce
{
    private static readonly double[] Passage = [0, 0, 0, 10, -15, 6, 0];
    private static readonly double[] EarlyBump = [0, 0, 105, -420, 630, -420, 105];
    private static readonly double[] LateBump = [0, 0, 0, 0, 105, -210, 105];

    private readonly double[] _force = new double[7];
    private readonly double[] _once = new double[8];
    private readonly double[] _twice = new double[9];
    private readonly double _startMps;

    private FloorForce(double durationS, double startMps, double f0, double f1, double early, double late)
    {
        (DurationS, _startMps, Early, Late) = (durationS, startMps, early, late);
        for (var i = 0; i < 7; i++)
        {
            _force[i] = ((f1 - f0) * Passage[i]) + (early * EarlyBump[i]) + (late * LateBump[i]);
        }

        _force[0] += f0;
        for (var i = 0; i < 7; i++)
        {
            _once[i + 1] = _force[i] / (i + 1);
        }

        for (var i = 0; i < 8; i++)
        {
            _twice[i + 1] = _once[i] / (i + 1);
        }
    }

    public double DurationS { get; }

    /// <summary>Area of the early bump over the phase's duration.</summary>
    public double Early { get; }

    /// <summary>Area of the late bump over the phase's duration.</summary>
    public double Late { get; }

    /// <summary>How far the centre of mass rises in the phase, m.</summary>
    public double RiseM => At(DurationS).X;

    /// <summary>Lowest place of the centre of mass in the phase from its start, m.</summary>
    public double LowestM
    {
        get
        {
            var lowest = 0.0;
            for (var i = 1; i <= 40; i++)
            {
                lowest = Math.Min(lowest, At(i / 40.0 * DurationS).X);
            }

            return lowest;
        }
    }

    /// <summary>Least force in the phase, body weights.</summary>
    public double Least
    {
        get
        {
            var least = double.PositiveInfinity;
            for (var i = 0; i <= 40; i++)
            {
                least = Math.Min(least, ForceAt(i / 40.0 * DurationS));
            }

            return least;
        }
    }

    /// <summary>Given both velocities and both end forces: bumps in the given proportion, the rise follows.</summary>
    public static FloorForce OfVelocity(double durationS, double startMps, double endMps, double f0, double f1, double earlyShare)
    {
        var bump = MeanForce(durationS, startMps, endMps) - ((f0 + f1) / 2);
        return new(durationS, startMps, f0, f1, earlyShare * bump, (1 - earlyShare) * bump);
    }

    /// <summary>Given the rise as well: both bumps follow.</summary>
    public static FloorForce OfRise(double durationS, double startMps, double endMps, double riseM, double f0, double f1)
    {
        var none = new FloorForce(durationS, startMps, f0, f1, 0, 0);
        var sum = MeanForce(durationS, startMps, endMps) - ((f0 + f1) / 2);
        var lift = (riseM - none.RiseM) / (Gravity.StandardMps2 * durationS * durationS);
        // A bump of area 1 lifts by 1 minus its centre of area: 5/8 early, 3/8 late.
        var early = (lift - (0.375 * sum)) / 0.25;
        return new(durationS, startMps, f0, f1, early, sum - early);
    }

    public double ForceAt(double timeS) => Evaluate(_force, timeS / DurationS);

    /// <summary>Rise since the start, velocity, acceleration.</summary>
    public Knot At(double timeS)
    {
        var u = timeS / DurationS;
        var g = Gravity.StandardMps2;
        return new(
            (_startMps * timeS) + (g * DurationS * DurationS * (Evaluate(_twice, u) - (u * u / 2))),
            _startMps + (g * DurationS * (Evaluate(_once, u) - u)),
            g * (Evaluate(_force, u) - 1));
    }

    private static double MeanForce(double durationS, double startMps, double endMps) =>
        1 + ((endMps - startMps) / (Gravity.StandardMps2 * durationS));

    private static double Evaluate(double[] coefficients, double u)
    {
        var sum = 0.0;
        for (var i = coefficients.Length - 1; i >= 0; i--)
        {
            sum = (sum * u) + coefficients[i];
        }

        return sum;
    }
}
