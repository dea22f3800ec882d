using Saltograph.Imu;

namespace Saltograph.Simulator.Motion;

/// <summary>Place, velocity and acceleration of the centre of mass at one instant, earth frame.</summary>
internal readonly record struct CentreKnot(double TimeS, Vector3D Place, Vector3D Velocity, Vector3D Acceleration);

/// <summary>
/// Path of the centre of mass over a support, from the floor's force: vertical in phases, horizontal as a share of the
/// vertical force that changes evenly from start to end (braking first, driving later), so that it stays within friction.
/// </summary>
internal sealed class CentrePath
{
    private const double KnotS = 0.016;
    private const double StepS = 0.002;
    private const int KnotsAfterContact = 3;

    private CentrePath(List<CentreKnot> knots, double largestFriction)
    {
        Knots = knots;
        LargestFriction = largestFriction;
    }

    public List<CentreKnot> Knots { get; }

    /// <summary>Largest horizontal over vertical force.</summary>
    public double LargestFriction { get; }

    public CentreKnot End => Knots[^1];

    /// <summary>Lays the path down; without an end place the horizontal force keeps one share throughout.</summary>
    public static CentrePath Of(
        double startS, Vector3D place, Vector3D velocity, IReadOnlyList<FloorForce> phases, Vector3D endVelocity, Vector3D? endPlace)
    {
        var total = phases.Sum(p => p.DurationS);
        // Integrals of F and s F, once and twice, up to the end (trapezoids: the force is smooth).
        var (i0, i1, j0, j1) = (0.0, 0.0, 0.0, 0.0);
        var steps = Math.Max(8, (int)Math.Ceiling(total / StepS));
        var h = total / steps;
        var history = new (double I0, double I1, double J0, double J1)[steps + 1];
        for (var n = 0; n < steps; n++)
        {
            var (fa, fb) = (Force(phases, n * h), Force(phases, (n + 1) * h));
            var (sa, sb) = ((double)n / steps, (double)(n + 1) / steps);
            var (di0, di1) = (h / 2 * (fa + fb), h / 2 * ((fa * sa) + (fb * sb)));
            j0 += h * (i0 + (di0 / 2));
            j1 += h * (i1 + (di1 / 2));
            i0 += di0;
            i1 += di1;
            history[n + 1] = (i0, i1, j0, j1);
        }

        var g = Gravity.StandardMps2;
        var (x0, x1) = Shares(endVelocity.X - velocity.X, endPlace?.X - place.X - (velocity.X * total), i0, i1, j0, j1, g);
        var (y0, y1) = Shares(endVelocity.Y - velocity.Y, endPlace?.Y - place.Y - (velocity.Y * total), i0, i1, j0, j1, g);
        var knots = new List<CentreKnot>();
        var count = Math.Max(3, (int)Math.Round(total / KnotS));
        // The first knot leaves room for the posture's own change at a contact.
        // (out of the air: for the stop of the landing shank).
        for (var k = Math.Min(phases[0].ForceAt(0) == 0 ? KnotsAfterContact : 2, count); k <= count; k++)
        {
            var n = (int)Math.Round((double)k * steps / count);
            var (a0, a1, b0, b1) = history[n];
            var t = n * h;
            var s = (double)n / steps;
            var vertical = Vertical(phases, place.Z, t);
            var force = g * Force(phases, t);
            knots.Add(new(
                startS + t,
                new(place.X + (velocity.X * t) + (g * ((x0 * b0) + (x1 * b1))), place.Y + (velocity.Y * t) + (g * ((y0 * b0) + (y1 * b1))), vertical.X),
                new(velocity.X + (g * ((x0 * a0) + (x1 * a1))), velocity.Y + (g * ((y0 * a0) + (y1 * a1))), vertical.V),
                new(force * (x0 + (x1 * s)), force * (y0 + (y1 * s)), vertical.A)));
        }

        var friction = Math.Max(Math.Sqrt((x0 * x0) + (y0 * y0)), Math.Sqrt(((x0 + x1) * (x0 + x1)) + ((y0 + y1) * (y0 + y1))));
        return new(knots, friction);
    }

    private static (double Constant, double Slope) Shares(
        double change, double? extra, double i0, double i1, double j0, double j1, double g)
    {
        if (extra is not { } way)
        {
            return (change / (g * i0), 0);
        }

        var determinant = (i0 * j1) - (i1 * j0);
        return (((change * j1) - (way * i1)) / (g * determinant), ((way * i0) - (change * j0)) / (g * determinant));
    }

    private static double Force(IReadOnlyList<FloorForce> phases, double t)
    {
        foreach (var phase in phases)
        {
            if (t <= phase.DurationS)
            {
                return phase.ForceAt(t);
            }

            t -= phase.DurationS;
        }

        return phases[^1].ForceAt(phases[^1].DurationS);
    }

    private static Knot Vertical(IReadOnlyList<FloorForce> phases, double startM, double t)
    {
        var height = startM;
        for (var i = 0; i < phases.Count; i++)
        {
            if (t <= phases[i].DurationS || i == phases.Count - 1)
            {
                var knot = phases[i].At(Math.Min(t, phases[i].DurationS));
                return knot with { X = height + knot.X };
            }

            height += phases[i].RiseM;
            t -= phases[i].DurationS;
        }

        throw new InvalidOperationException("A support without a phase.");
    }
}
