using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>
/// The turn rate that the opening of the legs alone would give. In the air the angular momentum about the vertical is constant, so the rate goes with one over the
/// moment of inertia; here only the legs change that, and the turn from take-off to landing is the measured one.
/// </summary>
/// <remarks>
/// A straight leg at the angle a from hanging has m k^2 sin^2 a about the vertical through the hips. Proportions after Winter, Biomechanics and Motor Control of
/// Human Movement, table 4.1, from memory: a leg has 0.161 of the mass, 0.530 of the height, and its radius of gyration about the hip is 0.560 of its length. What the rest of the body
/// has is assumed, with the arms half out: where the measured rate leaves this curve, arms and trunk did it, or a knee was bent.
/// </remarks>
internal static class ConstantMomentum
{
    /// <summary>Inertia of one horizontal leg over mass times height squared.</summary>
    private const double LegInertia = 0.161 * 0.530 * 0.530 * 0.560 * 0.560;

    /// <summary>Inertia of everything else likewise: about 0.005 with the arms at the sides, 0.015 with the arms stretched sideways.</summary>
    private const double RestInertia = 0.010;

    /// <summary>Rates at the nodes of the flight, deg/s; null without both inclinations.</summary>
    public static double[]? RatesDps(double[] timeS, double[] turnRateDps, double[]? leftDeg, double[]? rightDeg)
    {
        if (leftDeg is null || rightDeg is null)
        {
            return null;
        }

        var (first, last) = (JumpCurves.PhaseStarts[2], JumpCurves.PhaseStarts[3]);
        var rates = new double[last - first + 1];
        for (var i = 0; i < rates.Length; i++)
        {
            rates[i] = 1 / Inertia(LegInertia, RestInertia, leftDeg[first + i], rightDeg[first + i]);
        }

        var flightS = timeS[first..(last + 1)];
        var momentum = Area(flightS, turnRateDps[first..(last + 1)]) / Area(flightS, rates);
        return [.. rates.Select(rate => rate * momentum)];
    }

    /// <summary>Moment of inertia about the vertical.</summary>
    /// <param name="leg">Of one horizontal leg.</param>
    /// <param name="rest">Of everything else, in the same unit, which is the result's.</param>
    /// <param name="leftDeg">Left leg from hanging, deg.</param>
    /// <param name="rightDeg">Right leg from hanging, deg.</param>
    internal static double Inertia(double leg, double rest, double leftDeg, double rightDeg) =>
        rest + (leg * (SquaredSine(leftDeg) + SquaredSine(rightDeg)));

    private static double SquaredSine(double deg)
    {
        var sine = Math.Sin(deg * Angles.RadPerDeg);
        return sine * sine;
    }

    private static double Area(double[] x, double[] y)
    {
        var area = 0.0;
        for (var i = 1; i < x.Length; i++)
        {
            area += (x[i] - x[i - 1]) * (y[i] + y[i - 1]) / 2;
        }

        return area;
    }
}
