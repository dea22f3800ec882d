using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Motion;

/// <summary>
/// One flight: the centre of mass on a parabola, the heading from L = I(t) rate + h(t) with constant angular momentum L
/// about the vertical, I the inertia of the posture and h the momentum of the limbs within the turning frame.
/// </summary>
internal sealed class FlightPath
{
    private const double NodeS = 0.001;

    /// <summary>Enough while the posture at both ends still settles.</summary>
    private const double CoarseNodeS = 0.008;
    private const int Margin = 3;
    private readonly double _firstNodeS;
    private readonly Quintic[] _heading;

    private FlightPath(
        double takeoffS, double landingS, Vector3D centreM, Vector3D velocityMps, double momentum, double firstNodeS, Quintic[] heading)
    {
        (TakeoffS, LandingS, TakeoffCentreM, TakeoffVelocityMps) = (takeoffS, landingS, centreM, velocityMps);
        AngularMomentumKgM2ps = momentum;
        (_firstNodeS, _heading) = (firstNodeS, heading);
    }

    public double TakeoffS { get; }

    public double LandingS { get; }

    public Vector3D TakeoffCentreM { get; }

    public Vector3D TakeoffVelocityMps { get; }

    public double AngularMomentumKgM2ps { get; }

    public Vector3D CentreAt(double timeS)
    {
        var t = timeS - TakeoffS;
        return TakeoffCentreM + (t * TakeoffVelocityMps) - new Vector3D(0, 0, 0.5 * Gravity.StandardMps2 * t * t);
    }

    public double HeadingAt(double timeS) => PieceAt(timeS).Value(timeS);

    public Knot HeadingKnotAt(double timeS) => PieceAt(timeS).KnotAt(timeS);

    /// <summary>Plans the heading so that the whole flight turns by the wanted angle.</summary>
    public static FlightPath Plan(
        BodyModel body, FlightTracks tracks, double takeoffS, double landingS, Vector3D centreM, Vector3D velocityMps, double headingRad,
        double turnRad, bool coarse)
    {
        var intervals = (int)Math.Ceiling((landingS - takeoffS) / (coarse ? CoarseNodeS : NodeS));
        var step = (landingS - takeoffS) / intervals;
        var count = intervals + 1 + (2 * Margin);
        var firstNodeS = takeoffS - (Margin * step);
        var inverseInertia = new double[count];
        var drift = new double[count];
        for (var i = 0; i < count; i++)
        {
            var (inertia, inner) = tracks.MomentumTerms(body, firstNodeS + (i * step));
            inverseInertia[i] = 1 / inertia;
            drift[i] = -inner / inertia;
        }

        // rate = L / I - h / I is linear in L, so that the momentum for the wanted turn follows directly.
        var perMomentum = Integral(inverseInertia, step, Margin, intervals);
        var momentum = (turnRad - Integral(drift, step, Margin, intervals)) / perMomentum;
        var rate = new double[count];
        for (var i = 0; i < count; i++)
        {
            rate[i] = (momentum * inverseInertia[i]) + drift[i];
        }

        var knots = new Knot[count];
        for (var i = 0; i < count; i++)
        {
            knots[i] = new(0, rate[i], Slope(rate, i, step));
        }

        var heading = 0.0;
        for (var i = 0; i < count; i++)
        {
            knots[i] = knots[i] with { X = heading };
            if (i + 1 < count)
            {
                heading += IntervalIntegral(knots[i], knots[i + 1], step);
            }
        }

        var offset = headingRad - knots[Margin].X;
        var pieces = new Quintic[count - 1];
        for (var i = 0; i + 1 < count; i++)
        {
            pieces[i] = new(
                firstNodeS + (i * step), knots[i] with { X = knots[i].X + offset },
                firstNodeS + ((i + 1) * step), knots[i + 1] with { X = knots[i + 1].X + offset });
        }

        return new(takeoffS, landingS, centreM, velocityMps, momentum, firstNodeS, pieces);
    }

    private static double Integral(double[] values, double step, int from, int intervals)
    {
        var sum = 0.0;
        for (var i = from; i < from + intervals; i++)
        {
            sum += IntervalIntegral(new(0, values[i], Slope(values, i, step)), new(0, values[i + 1], Slope(values, i + 1, step)), step);
        }

        return sum;
    }

    private static double IntervalIntegral(Knot a, Knot b, double step) =>
        (step / 2 * (a.V + b.V)) + (step * step / 12 * (a.A - b.A));

    private static double Slope(double[] values, int i, double step) =>
        i is > 1 && i < values.Length - 2
            ? (values[i - 2] - (8 * values[i - 1]) + (8 * values[i + 1]) - values[i + 2]) / (12 * step)
            : i > 0 && i < values.Length - 1 ? (values[i + 1] - values[i - 1]) / (2 * step)
            : i == 0 ? (values[1] - values[0]) / step : (values[i] - values[i - 1]) / step;

    private Quintic PieceAt(double timeS)
    {
        var step = _heading[0].EndS - _heading[0].StartS;
        var index = (int)((timeS - _firstNodeS) / step);
        return _heading[Math.Clamp(index, 0, _heading.Length - 1)];
    }
}

/// <summary>The channels of one flight while it is planned.</summary>
internal sealed class FlightTracks
{
    public Track[] Upper { get; } = [new(), new(), new(), new(), new(), new()];

    public Track[][] Joints { get; } = [[new(), new(), new(), new()], [new(), new(), new(), new()]];

    /// <summary>Inertia about the vertical, and the angular momentum of the parts within the turning frame.</summary>
    public (double Inertia, double Inner) MomentumTerms(BodyModel body, double timeS)
    {
        Span<Vector3D> points = stackalloc Vector3D[Posture.PointCount];
        Span<Vector3D> before = stackalloc Vector3D[Posture.PointCount];
        Span<Vector3D> after = stackalloc Vector3D[Posture.PointCount];
        Span<double> masses = stackalloc double[Posture.PointCount];
        const double half = 1e-4;
        var posture = Lay(body, timeS, points, masses);
        var earlier = Lay(body, timeS - half, before, masses);
        var later = Lay(body, timeS + half, after, masses);
        var inner = 0.0;
        for (var i = 0; i < Posture.PointCount; i++)
        {
            var r = points[i] - posture.Centre;
            var v = (after[i] - later.Centre - (before[i] - earlier.Centre)) / (2 * half);
            inner += masses[i] * ((r.X * v.Y) - (r.Y * v.X));
        }

        return (posture.VerticalInertiaKgM2(), inner);
    }

    private Posture Lay(BodyModel body, double timeS, Span<Vector3D> points, Span<double> masses) => new(
        body,
        new(
            Upper[0].Value(timeS), Upper[1].Value(timeS), Upper[2].Value(timeS),
            Upper[3].Value(timeS), Upper[4].Value(timeS), Upper[5].Value(timeS)),
        Leg.Pose(body, Angles(0, timeS)), Leg.Pose(body, Angles(1, timeS)), points, masses);

    private LegAngles Angles(int leg, double timeS) => new(
        Joints[leg][0].Value(timeS), Joints[leg][1].Value(timeS), Joints[leg][2].Value(timeS), Joints[leg][3].Value(timeS));
}
