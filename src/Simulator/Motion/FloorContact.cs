using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Motion;

/// <summary>How a leg meets the boundary between floor and air: held to its foot, or free with its own joint knots.</summary>
internal sealed class LegAtBoundary
{
    /// <summary>Joint knots of a free leg; for a held leg the solution is written here.</summary>
    public Knot[] Joints { get; } = new Knot[4];

    public bool Held { get; init; }

    /// <summary>Held leg: ankle from the pelvis' hip centre, earth axes, m.</summary>
    public Vector3D AnkleFromPelvis { get; init; }

    public Vector3D AnkleVelocityMps { get; init; }

    public Vector3D AnkleAccelerationMps2 { get; init; }

    public Knot FootHeading { get; init; }
}

/// <summary>
/// Joins floor and air twice continuously: finds the joint rates of the held legs, and the pelvis' velocity and
/// acceleration, for which the centre of mass moves as wanted and falls freely while the feet move as wanted.
/// </summary>
internal static class FloorContact
{
    private const int Rounds = 10;

    /// <summary>Solves by repetition; each round shrinks the error by the legs' share of the mass (below 0.3).</summary>
    /// <returns>Centre of mass from the pelvis (earth axes), pelvis velocity and acceleration.</returns>
    public static (Vector3D Centre, Vector3D PelvisVelocity, Vector3D PelvisAcceleration) Join(
        BodyModel body, Knot heading, ReadOnlySpan<Knot> upper, LegAtBoundary[] legs, Vector3D centreVelocityMps)
    {
        Span<Vector3D> centres = stackalloc Vector3D[5];
        Span<Vector3D> points = stackalloc Vector3D[Posture.PointCount];
        Span<double> masses = stackalloc double[Posture.PointCount];
        Span<LegAngles> reached = stackalloc LegAngles[5];
        var centreAcceleration = new Vector3D(0, 0, -Gravity.StandardMps2);
        foreach (var leg in legs)
        {
            if (leg.Held)
            {
                var (sin, cos) = Math.SinCos(heading.X);
                var hip = HipOf(body, legs, leg);
                var angles = Leg.Angles(body, Frame.Turn(leg.AnkleFromPelvis, cos, -sin) - hip, leg.FootHeading.X - heading.X);
                (leg.Joints[0], leg.Joints[1], leg.Joints[2], leg.Joints[3]) =
                    (new(angles.Theta), new(angles.Gamma), new(angles.Phi), new(angles.Kappa));
            }
        }

        var centre = Vector3D.Zero;
        var velocity = centreVelocityMps;
        var acceleration = centreAcceleration;
        for (var round = 0; round < Rounds; round++)
        {
            for (var k = 0; k < 5; k++)
            {
                var t = (k - 2) * Stencil.StepS;
                var (sin, cos) = Math.SinCos(heading.At(t));
                var posture = new Posture(
                    body,
                    new(upper[0].At(t), upper[1].At(t), upper[2].At(t), upper[3].At(t), upper[4].At(t), upper[5].At(t)),
                    Leg.Pose(body, AnglesAt(legs[0], t)), Leg.Pose(body, AnglesAt(legs[1], t)), points, masses);
                centres[k] = Frame.Turn(posture.Centre, cos, sin);
            }

            var (rate, change) = Stencil.Of(centres);
            centre = centres[2];
            velocity = centreVelocityMps - rate;
            acceleration = centreAcceleration - change;
            foreach (var leg in legs)
            {
                if (!leg.Held)
                {
                    continue;
                }

                var hip = HipOf(body, legs, leg);
                for (var k = 0; k < 5; k++)
                {
                    var t = (k - 2) * Stencil.StepS;
                    var (sin, cos) = Math.SinCos(heading.At(t));
                    var ankle = leg.AnkleFromPelvis + (t * (leg.AnkleVelocityMps - velocity))
                        + (t * t / 2 * (leg.AnkleAccelerationMps2 - acceleration));
                    reached[k] = Leg.Angles(body, Frame.Turn(ankle, cos, -sin) - hip, leg.FootHeading.At(t) - heading.At(t));
                }

                leg.Joints[0] = Stencil.Of(reached[0].Theta, reached[1].Theta, reached[2].Theta, reached[3].Theta, reached[4].Theta);
                leg.Joints[1] = Stencil.Of(reached[0].Gamma, reached[1].Gamma, reached[2].Gamma, reached[3].Gamma, reached[4].Gamma);
                leg.Joints[2] = Stencil.Of(reached[0].Phi, reached[1].Phi, reached[2].Phi, reached[3].Phi, reached[4].Phi);
                leg.Joints[3] = Stencil.Of(reached[0].Kappa, reached[1].Kappa, reached[2].Kappa, reached[3].Kappa, reached[4].Kappa);
            }
        }

        return (centre, velocity, acceleration);
    }

    private static LegAngles AnglesAt(LegAtBoundary leg, double t) =>
        new(leg.Joints[0].At(t), leg.Joints[1].At(t), leg.Joints[2].At(t), leg.Joints[3].At(t));

    private static Vector3D HipOf(BodyModel body, LegAtBoundary[] legs, LegAtBoundary leg) =>
        new(0, ReferenceEquals(legs[0], leg) ? body.HipHalfWidthM : -body.HipHalfWidthM, 0);
}
