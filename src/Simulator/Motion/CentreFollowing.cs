using Saltograph.Imu;

namespace Saltograph.Simulator.Motion;

/// <summary>Leads the pelvis so that the centre of mass follows a path of given forces. Part of <see cref="Choreography"/>.</summary>
internal sealed partial class Choreography
{
    private const int Passes = 4;

    private const double FineS = 0.005;

    /// <summary>Share of the body's mass that stops with one ankle: most of shank and foot, a fifth of the thigh.</summary>
    private const double StoppedMassShare = 0.075;

    /// <summary>The centre of mass where the movement ends now.</summary>
    public CentreState CentreNow()
    {
        if (Movement.FlightAt(NowS - 1e-4) is { } flight)
        {
            // The stop of the landing shanks is an impact of its own: the floor's force as planned follows it.
            var t = NowS - flight.TakeoffS;
            var stopped = Movement.Legs.Where(leg => leg.FootLedNow).Sum(leg => Math.Min(0, leg.AnkleZ.KnotAt(NowS).V));
            var velocity0 = flight.TakeoffVelocityMps - new Vector3D(0, 0, (Gravity.StandardMps2 * t) + (StoppedMassShare * stopped));
            return new(Movement.CentreAt(NowS), velocity0, 0);
        }

        const double h = 0.003;
        var (c0, c1, c2, c3) = (Movement.CentreAt(NowS), Movement.CentreAt(NowS - h), Movement.CentreAt(NowS - (2 * h)), Movement.CentreAt(NowS - (3 * h)));
        var velocity = ((3 * c0) - (4 * c1) + c2) / (2 * h);
        var acceleration = ((2 * c0) - (5 * c1) + (4 * c2) - c3) / (h * h);
        return new(c0, velocity, Math.Clamp(1 + (acceleration.Z / Gravity.StandardMps2), 0.25, 1.8));
    }

    /// <summary>
    /// Lays the pelvis along the path; heading and trunk must be laid down up to its end. Each pass places the pelvis under
    /// the centre of mass with the posture of the pass before, and lays the legs anew for it.
    /// </summary>
    /// <param name="pathFor">Where the centre of mass goes, given its place from the pelvis at the end.</param>
    /// <param name="end">The pelvis at the end, when it is known (take-off).</param>
    /// <param name="endOffset">Centre of mass from the pelvis at the end, first guess, m; null: as now.</param>
    /// <param name="legs">Lays the legs down; may not draw random numbers. Null when they do not depend on the pelvis.</param>
    public void FollowCentre(Func<Vector3D, CentrePath> pathFor, CentreKnot? end = null, Vector3D? endOffset = null, Action? legs = null)
    {
        var startS = NowS;
        var mark = (Movement.PelvisX.Mark(), Movement.PelvisY.Mark(), Movement.PelvisZ.Mark());
        var legMarks = (Movement.Legs[0].Mark(), Movement.Legs[1].Mark());
        var startOffset = OffsetAt(startS);
        var lastOffset = endOffset ?? startOffset;
        (Vector3D Value, Vector3D Rate, Vector3D Change)[]? offsets = null;
        for (var pass = 0; pass < Passes; pass++)
        {
            var path = pathFor(lastOffset);
            var endS = path.End.TimeS;
            var count = path.Knots.Count;
            Movement.PelvisX.Rollback(mark.Item1);
            Movement.PelvisY.Rollback(mark.Item2);
            Movement.PelvisZ.Rollback(mark.Item3);
            for (var k = 0; k < count; k++)
            {
                var knot = path.Knots[k];
                var slope = (lastOffset - startOffset) / (endS - startS);
                var (value, rate, change) = offsets?[k] ?? (startOffset + ((knot.TimeS - startS) * slope), slope, default);
                if (k == count - 1 && end is { } known)
                {
                    PelvisTo(endS, known.Place, known.Velocity, known.Acceleration);
                }
                else
                {
                    PelvisTo(knot.TimeS, knot.Place - value, knot.Velocity - rate, knot.Acceleration - change);
                }
            }

            if (legs is not null)
            {
                Movement.Legs[0].Rollback(legMarks.Item1);
                Movement.Legs[1].Rollback(legMarks.Item2);
                legs();
            }

            if (pass == Passes - 1)
            {
                return;
            }

            offsets = [.. path.Knots.Select(knot => OffsetKnot(knot.TimeS, endS))];
            lastOffset = OffsetAt(endS);
        }
    }

    private (Vector3D Value, Vector3D Rate, Vector3D Change) OffsetKnot(double timeS, double endS)
    {
        // Near the end only what lies before it is laid down.
        var h = Math.Min(FineS, Math.Max(endS - timeS, 0.003));
        var at = Math.Min(timeS, endS - h);
        var (before, middle, after) = (OffsetAt(at - h), OffsetAt(at), OffsetAt(at + h));
        var change = (before - (2 * middle) + after) / (h * h);
        var rate = ((after - before) / (2 * h)) + ((timeS - at) * change);
        return (timeS > at ? OffsetAt(timeS) : middle, rate, change);
    }

    private Vector3D OffsetAt(double timeS)
    {
        var pose = Movement.At(timeS);
        return Movement.CentreAt(timeS) - pose.Pelvis;
    }
}
