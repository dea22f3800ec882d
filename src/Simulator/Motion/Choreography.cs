using Saltograph.Imu;
using Saltograph.Simulator.Body;

namespace Saltograph.Simulator.Motion;

/// <summary>Lays movement down piece by piece on the floor; <see cref="Launcher"/> adds flights.</summary>
internal sealed partial class Choreography
{
    /// <summary>Bend of the knees in quiet standing, rad: the shanks lean about 8 deg forward.</summary>
    public const double StandingKneeRad = 0.28;

    public Choreography(BodyModel body, Pcg32 random, double startS = 0, double headingRad = 0)
    {
        Body = body;
        Random = random;
        Movement = new(body);
        NowS = startS;
        var pelvis = new Vector3D(0, 0, StandingPelvisM);
        Movement.PelvisX.Start(startS, new(0));
        Movement.PelvisY.Start(startS, new(0));
        Movement.PelvisZ.Start(startS, new(pelvis.Z));
        Movement.Heading.Start(startS, new(headingRad));
        foreach (var (index, channel) in Movement.Upper.Channels.Index())
        {
            channel.Start(startS, new(index is 2 or 4 ? 0.12 : 0));
        }

        for (var leg = 0; leg < 2; leg++)
        {
            var ankle = FootPlace(leg, pelvis, headingRad, 0, 0);
            StartFoot(leg, startS, ankle, Vector3D.Zero, Vector3D.Zero, new(headingRad));
        }
    }

    public BodyModel Body { get; }

    public Pcg32 Random { get; }

    public Movement Movement { get; }

    /// <summary>Where the next piece starts.</summary>
    public double NowS { get; set; }

    /// <summary>Height of the floor where the next foot goes, m: above 0 on a box.</summary>
    public double LevelM { get; set; }

    public double StandingPelvisM => LevelM + Body.AnkleHeightM + Leg.LengthM(Body, StandingKneeRad);

    public Vector3D Pelvis => new(Movement.PelvisX.End.X, Movement.PelvisY.End.X, Movement.PelvisZ.End.X);

    public Vector3D PelvisVelocity => new(Movement.PelvisX.End.V, Movement.PelvisY.End.V, Movement.PelvisZ.End.V);

    public double Heading => Movement.Heading.End.X;

    public static Vector3D Forward(double headingRad) => new(Math.Cos(headingRad), Math.Sin(headingRad), 0);

    public static Vector3D Left(double headingRad) => new(-Math.Sin(headingRad), Math.Cos(headingRad), 0);

    public static double Side(int leg) => leg == 0 ? 1 : -1;

    /// <summary>Ankle of a flat foot ahead of the pelvis and beside its middle (hip-wide when <paramref name="inward"/> is 0).</summary>
    public Vector3D FootPlace(int leg, Vector3D pelvis, double headingRad, double ahead, double inward)
    {
        var place = pelvis + (ahead * Forward(headingRad)) + (Side(leg) * (Body.HipHalfWidthM - inward) * Left(headingRad));
        return new(place.X, place.Y, LevelM + Body.AnkleHeightM);
    }

    public Choreography PelvisTo(double timeS, Vector3D place, Vector3D velocity = default, Vector3D acceleration = default)
    {
        Movement.PelvisX.To(timeS, new(place.X, velocity.X, acceleration.X));
        Movement.PelvisY.To(timeS, new(place.Y, velocity.Y, acceleration.Y));
        Movement.PelvisZ.To(timeS, new(place.Z, velocity.Z, acceleration.Z));
        return this;
    }

    public void HeadingTo(double timeS, double headingRad, double rate = 0) => Movement.Heading.To(timeS, new(headingRad, rate));

    /// <summary>Trunk and arms; angles not named stay.</summary>
    public void UpperTo(double timeS, double? pitch = null, double? roll = null, double? arms = null, double? armsForward = null)
    {
        double?[] targets = [pitch, roll, arms, armsForward, arms, armsForward];
        for (var i = 0; i < targets.Length; i++)
        {
            var channel = Movement.Upper.Channels[i];
            if (timeS > channel.EndS)
            {
                channel.Rest(timeS, targets[i] ?? channel.End.X);
            }
        }
    }

    /// <summary>Places a flat foot's ankle path from here on.</summary>
    public void StartFoot(int leg, double timeS, Vector3D ankle, Vector3D velocity, Vector3D acceleration, Knot heading)
    {
        var tracks = Movement.Legs[leg];
        tracks.AnkleX.Start(timeS, new(ankle.X, velocity.X, acceleration.X));
        tracks.AnkleY.Start(timeS, new(ankle.Y, velocity.Y, acceleration.Y));
        tracks.AnkleZ.Start(timeS, new(ankle.Z, velocity.Z, acceleration.Z));
        tracks.FootHeading.Start(timeS, heading);
        if (!tracks.FootLedNow)
        {
            tracks.Begin(timeS, true);
        }
    }

    public void FootTo(int leg, double timeS, Vector3D ankle, Vector3D velocity = default, Vector3D acceleration = default)
    {
        var tracks = Movement.Legs[leg];
        tracks.AnkleX.To(timeS, new(ankle.X, velocity.X, acceleration.X));
        tracks.AnkleY.To(timeS, new(ankle.Y, velocity.Y, acceleration.Y));
        tracks.AnkleZ.To(timeS, new(ankle.Z, velocity.Z, acceleration.Z));
    }

    public Vector3D AnkleEnd(int leg)
    {
        var tracks = Movement.Legs[leg];
        return new(tracks.AnkleX.End.X, tracks.AnkleY.End.X, tracks.AnkleZ.End.X);
    }

    /// <summary>The heel comes off first, then the joints lead the leg. The pelvis must be laid down beyond the time.</summary>
    public void LiftFoot(int leg, double timeS, double riseS, double riseM, double speedMps)
    {
        var tracks = Movement.Legs[leg];
        var from = AnkleEnd(leg);
        var ahead = Forward(tracks.FootHeading.End.X);
        var startS = Math.Max(timeS - riseS, tracks.AnkleZ.EndS + 0.001);
        if (startS > tracks.AnkleZ.EndS)
        {
            FootTo(leg, startS, from);
        }

        FootTo(leg, timeS, from + (0.5 * riseM * ahead) + new Vector3D(0, 0, riseM), (0.5 * speedMps * ahead) + new Vector3D(0, 0, speedMps));
        FreeLeg(leg, timeS);
    }

    /// <summary>Hands the leg from its foot to its joints without a jump in rate or acceleration.</summary>
    public void FreeLeg(int leg, double timeS)
    {
        Span<LegAngles> five = stackalloc LegAngles[5];
        for (var k = 0; k < 5; k++)
        {
            var t = timeS + ((k - 2) * Stencil.StepS);
            five[k] = AnglesFor(leg, t, Movement.Legs[leg].AnkleAt(t), Movement.Legs[leg].FootHeading.Value(t));
        }

        StartJoints(leg, timeS, five);
        Movement.Legs[leg].Begin(timeS, false);
    }

    public void SwingTo(int leg, double timeS, Knot theta, Knot gamma, Knot phi, Knot kappa)
    {
        var joints = Movement.Legs[leg].Joints;
        joints[0].To(timeS, theta);
        joints[1].To(timeS, gamma);
        joints[2].To(timeS, phi);
        joints[3].To(timeS, kappa);
    }

    /// <summary>Swings the free leg so that its foot meets the floor at the place, time and speed given.</summary>
    public void PlantFoot(
        int leg, double timeS, Vector3D ankle, Vector3D velocity, Knot footHeading, in FootStop stop, Vector3D acceleration = default)
    {
        var contact = ankle + new Vector3D(0, 0, stop.HeelM);
        Span<LegAngles> five = stackalloc LegAngles[5];
        for (var k = 0; k < 5; k++)
        {
            var t = (k - 2) * Stencil.StepS;
            five[k] = AnglesFor(leg, timeS + t, contact + (t * velocity) + (t * t / 2 * acceleration), footHeading.At(t));
        }

        var joints = Movement.Legs[leg].Joints;
        joints[0].To(timeS, Stencil.Of(five[0].Theta, five[1].Theta, five[2].Theta, five[3].Theta, five[4].Theta));
        joints[1].To(timeS, Stencil.Of(five[0].Gamma, five[1].Gamma, five[2].Gamma, five[3].Gamma, five[4].Gamma));
        joints[2].To(timeS, Near(joints[2].End.X, Stencil.Of(five[0].Phi, five[1].Phi, five[2].Phi, five[3].Phi, five[4].Phi)));
        joints[3].To(timeS, Stencil.Of(five[0].Kappa, five[1].Kappa, five[2].Kappa, five[3].Kappa, five[4].Kappa));
        StartFoot(leg, timeS, contact, velocity, acceleration, footHeading);
        StopFoot(leg, ankle, stop);
    }

    /// <summary>Brings the ankle of a foot that just met the floor to rest: fore-foot first, then the heel.</summary>
    public void StopFoot(int leg, Vector3D rest, in FootStop stop)
    {
        var tracks = Movement.Legs[leg];
        var t = tracks.AnkleZ.EndS;
        var v = new Vector3D(tracks.AnkleX.End.V, tracks.AnkleY.End.V, tracks.AnkleZ.End.V);
        var z = tracks.AnkleZ.End.X;
        var way = z - rest.Z;
        // The heel is down within about 0.07 s: what the first brake leaves must be fast enough for that.
        var after = Math.Min(v.Z * (1 - stop.Share), -Math.Max(0, way + (stop.BrakeS * v.Z / 2)) / 0.07);
        var zAfter = z + (stop.BrakeS * (v.Z + after) / 2);
        var left = zAfter - rest.Z;
        var heelStop = Math.Min(stop.HeelBrakeS, 1.2 * left / -after);
        var twoStops = after > 0.9 * v.Z && heelStop > 0.012;
        // One stop over the whole way takes the time that a nearly even brake takes.
        var brakeS = twoStops ? stop.BrakeS : Math.Clamp(1.9 * way / Math.Max(-v.Z, 0.2), 0.6 * stop.BrakeS, 0.1);
        tracks.AnkleX.Rest(t + brakeS, tracks.AnkleX.End.X + (brakeS / 2 * v.X));
        tracks.AnkleY.Rest(t + brakeS, tracks.AnkleY.End.X + (brakeS / 2 * v.Y));
        if (twoStops)
        {
            var coast = (left + (after * heelStop / 2)) / -after;
            tracks.AnkleZ.To(t + brakeS, new Knot(zAfter, after));
            tracks.AnkleZ.To(t + brakeS + coast, new Knot(rest.Z - (after * heelStop / 2), after));
            tracks.AnkleZ.Rest(t + brakeS + coast + heelStop, rest.Z);
        }
        else
        {
            tracks.AnkleZ.Rest(t + brakeS, rest.Z);
        }
    }

    public LegAngles AnglesFor(int leg, double timeS, Vector3D ankle, double footHeadingRad)
    {
        var heading = Movement.HeadingAt(timeS);
        var (sin, cos) = Math.SinCos(heading);
        var pelvis = new Vector3D(
            Movement.PelvisX.Value(timeS), Movement.PelvisY.Value(timeS), Movement.PelvisZ.Value(timeS));
        return Leg.Angles(Body, Frame.Turn(ankle - pelvis, cos, -sin) - Movement.HipOffset(leg), footHeadingRad - heading);
    }

    private static Knot Near(double reference, Knot knot) =>
        knot with { X = reference + Angles.WrapRad(knot.X - reference) };

    private void StartJoints(int leg, double timeS, ReadOnlySpan<LegAngles> five)
    {
        var joints = Movement.Legs[leg].Joints;
        joints[0].Start(timeS, Stencil.Of(five[0].Theta, five[1].Theta, five[2].Theta, five[3].Theta, five[4].Theta));
        joints[1].Start(timeS, Stencil.Of(five[0].Gamma, five[1].Gamma, five[2].Gamma, five[3].Gamma, five[4].Gamma));
        var phi = Stencil.Of(five[0].Phi, five[1].Phi, five[2].Phi, five[3].Phi, five[4].Phi);
        joints[2].Start(timeS, phi with { X = Angles.WrapRad(phi.X) });
        joints[3].Start(timeS, Stencil.Of(five[0].Kappa, five[1].Kappa, five[2].Kappa, five[3].Kappa, five[4].Kappa));
    }
}

/// <summary>How a foot comes to rest on the floor.</summary>
/// <param name="HeelM">Height of the ankle above its flat height at first contact (heel up: fore-foot landing), m.</param>
/// <param name="BrakeS">Duration of the first brake, s; the shock's rise is about half of it.</param>
/// <param name="Share">Share of the downward speed that the first brake takes; the heel takes the rest.</param>
/// <param name="HeelBrakeS">Duration of the heel's stop, s.</param>
internal readonly record struct FootStop(double HeelM, double BrakeS, double Share, double HeelBrakeS)
{
    /// <summary>A quiet step.</summary>
    public static FootStop Soft => new(0.015, 0.04, 0.7, 0.03);
}
