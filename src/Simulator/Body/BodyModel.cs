namespace Saltograph.Simulator.Body;

/// <summary>
/// A part of the body as a slender mass: two equal point masses on its long axis reproduce mass, centre and transverse
/// inertia; the inertia about the long axis itself is kept beside it.
/// </summary>
/// <param name="MassKg">Mass, kg.</param>
/// <param name="CentreM">Distance of the centre of mass from the proximal joint along the axis, m.</param>
/// <param name="TransverseRadiusM">Radius of gyration about a transverse axis through the centre, m.</param>
/// <param name="LongInertiaKgM2">Inertia about the long axis, kg m2.</param>
internal readonly record struct SlenderMass(double MassKg, double CentreM, double TransverseRadiusM, double LongInertiaKgM2)
{
    /// <summary>Joins parts that lie on one axis.</summary>
    public static SlenderMass Join(params ReadOnlySpan<SlenderMass> parts)
    {
        double mass = 0;
        double moment = 0;
        double longInertia = 0;
        foreach (var part in parts)
        {
            mass += part.MassKg;
            moment += part.MassKg * part.CentreM;
            longInertia += part.LongInertiaKgM2;
        }

        var centre = moment / mass;
        double transverse = 0;
        foreach (var part in parts)
        {
            var offset = part.CentreM - centre;
            transverse += part.MassKg * ((part.TransverseRadiusM * part.TransverseRadiusM) + (offset * offset));
        }

        return new(mass, centre, Math.Sqrt(transverse / mass), longInertia);
    }
}

/// <summary>Lengths and masses of one athlete.</summary>
/// <remarks>
/// Mass fractions, centres and radii of gyration: de Leva P (1996) J Biomech 29:1223-1230, female, at second hand (a public
/// copy of the table, masses corrected so that they sum to 0.9999). Segment lengths for a stature of 1.735 m are values from
/// memory of the same table; they scale with stature. The foot is carried pointed, in line with the shank: on the floor
/// that misplaces 1.3 per cent of the mass by some centimetres.
/// </remarks>
internal sealed class BodyModel
{
    private const double TableStatureM = 1.735;

    public BodyModel(double massKg, double statureM)
    {
        MassKg = massKg;
        StatureM = statureM;
        var scale = statureM / TableStatureM;
        var trunk = 0.6148 * scale;
        var head = 0.2437 * scale;
        var upperArm = 0.2751 * scale;
        var forearm = 0.2643 * scale;
        var hand = 0.0780 * scale;
        ThighM = 0.3685 * scale;
        ShankM = 0.4323 * scale;
        var foot = 0.2283 * scale;
        AnkleHeightM = 0.0757 * scale;
        FootLengthM = foot;
        HipHalfWidthM = 0.074 * statureM / 1.60;
        ShoulderHalfWidthM = 0.148 * statureM / 1.60;
        ShoulderHeightM = 0.86 * trunk;

        Trunk = SlenderMass.Join(
            Part(0.4257, trunk * (1 - 0.4964), trunk, 0.307, 0.292, 0.147),
            Part(0.0668, trunk + (head * (1 - 0.4841)), head, 0.271, 0.295, 0.263));
        Arm = SlenderMass.Join(
            Part(0.0255, upperArm * 0.5754, upperArm, 0.278, 0.260, 0.148),
            Part(0.0138, upperArm + (forearm * 0.4559), forearm, 0.261, 0.257, 0.094),
            Part(0.0056, upperArm + forearm + (hand * 0.7474), hand, 0.531, 0.454, 0.335));
        Thigh = Part(0.1478, ThighM * 0.3612, ThighM, 0.369, 0.364, 0.162);
        Shank = SlenderMass.Join(
            Part(0.0481, ShankM * 0.4416, ShankM, 0.271, 0.267, 0.093),
            Part(0.0129, ShankM + (foot * 0.4014), foot, 0.299, 0.279, 0.139));
        TotalMassKg = Trunk.MassKg + (2 * (Arm.MassKg + Thigh.MassKg + Shank.MassKg));
    }

    /// <summary>A body of given parts, for worked examples of textbooks.</summary>
    internal BodyModel(
        SlenderMass trunk, SlenderMass arm, SlenderMass thigh, SlenderMass shank, double thighM, double shankM, double hipHalfWidthM)
    {
        Trunk = trunk;
        Arm = arm;
        Thigh = thigh;
        Shank = shank;
        ThighM = thighM;
        ShankM = shankM;
        HipHalfWidthM = hipHalfWidthM;
        TotalMassKg = Trunk.MassKg + (2 * (Arm.MassKg + Thigh.MassKg + Shank.MassKg));
    }

    public double MassKg { get; }

    public double StatureM { get; }

    public double TotalMassKg { get; }

    public double ThighM { get; }

    public double ShankM { get; }

    public double LegM => ThighM + ShankM;

    /// <summary>Height of the ankle joint above the floor with the foot flat.</summary>
    public double AnkleHeightM { get; }

    public double FootLengthM { get; }

    public double HipHalfWidthM { get; }

    public double ShoulderHalfWidthM { get; }

    public double ShoulderHeightM { get; }

    public SlenderMass Trunk { get; }

    public SlenderMass Arm { get; }

    public SlenderMass Thigh { get; }

    public SlenderMass Shank { get; }

    private SlenderMass Part(double massFraction, double centreM, double lengthM, double rAp, double rMl, double rLong)
    {
        var mass = massFraction * MassKg;
        var transverse = lengthM * Math.Sqrt(((rAp * rAp) + (rMl * rMl)) / 2);
        return new(mass, centreM, transverse, mass * rLong * rLong * lengthM * lengthM);
    }
}
