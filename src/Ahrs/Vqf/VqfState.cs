using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>All that changes in a <see cref="VqfFilter"/>; a copy is an exact checkpoint. Two equal states go on equally.</summary>
public record struct VqfState
{
    internal SampleGate Gate;

    // Frames: I is kept by the bias-corrected gyroscope, L is level with free heading, E is the earth.
    internal Rotation InertialFromSensor;
    internal Rotation LevelFromInertial;
    internal double EarthFromLevelRad;

    internal Vector3D BiasRadps;

    // Upper triangle of the symmetric bias covariance, (0.01 deg/s)^2.
    internal SymmetricMatrix3 BiasCovariance;

    internal SettlingLowPassState SpecificForce;

    // The rows of levelFromSensor; lane 3 of the first two carries the bias seen along level x and y.
    internal SettlingLowPassState RowX;
    internal SettlingLowPassState RowY;
    internal SettlingLowPassState RowZ;

    internal RestState Rest;

    internal VqfMagneticState Magnetic;

    /// <summary>Level frame (z up, heading free) from sensor: the orientation without magnetometer.</summary>
    public readonly Rotation LevelFromSensor => LevelFromInertial * InertialFromSensor;

    /// <summary>Earth frame from sensor.</summary>
    public readonly Rotation EarthFromSensor => Rotation.AboutVertical(EarthFromLevelRad) * LevelFromSensor;

    /// <summary>Heading correction that the magnetometer added to the free heading, rad.</summary>
    public readonly double HeadingCorrectionRad => EarthFromLevelRad;

    /// <summary>Gyroscope bias, rad/s, sensor frame.</summary>
    public readonly Vector3D GyroscopeBiasSensorRadps => BiasRadps;

    /// <summary>Whether rest is detected.</summary>
    public readonly bool IsAtRest => Rest.AtRest;

    /// <summary>Whether the magnetic field is considered disturbed; true before a reference field is known.</summary>
    public readonly bool IsMagneticFieldDisturbed => Magnetic.Disturbed;

    /// <summary>Norm of the magnetic reference field, in the unit of the input; 0 before one is known.</summary>
    public readonly double MagneticReferenceNorm => Magnetic.ReferenceNorm;

    /// <summary>Dip of the magnetic reference field, rad, positive downwards.</summary>
    public readonly double MagneticReferenceDipRad => Magnetic.ReferenceDipRad;

    internal static VqfState Start(VqfCoefficients coefficients) => new()
    {
        InertialFromSensor = Rotation.Identity,
        LevelFromInertial = Rotation.Identity,
        BiasCovariance = SymmetricMatrix3.Diagonal(coefficients.InitialBiasVariance),
        Magnetic = VqfMagneticState.Start(coefficients),
    };

    /// <summary>Uncertainty of the bias, rad/s: square root of the largest row sum, at most the initial one.</summary>
    internal readonly double BiasSigmaRadps(VqfCoefficients coefficients) =>
        Math.Sqrt(Math.Min(BiasCovariance.LargestRowSum, coefficients.InitialBiasVariance)) * VqfCoefficients.RadpsPerBiasUnit;
}

/// <summary>What the magnetometer step of <see cref="VqfFilter"/> remembers.</summary>
internal record struct VqfMagneticState
{
    public SettlingLowPassState NormDip;
    public double ReferenceNorm;
    public double ReferenceDipRad;
    public double UndisturbedTimeS;
    public double RejectionTimeS;
    public double CandidateNorm;
    public double CandidateDipRad;
    public double CandidateTimeS;

    /// <summary>Gain of the fast start: 1, 1/2, 1/3, ... then 0.</summary>
    public double StartGain;
    public bool Disturbed;

    public static VqfMagneticState Start(VqfCoefficients coefficients) => new()
    {
        Disturbed = true,
        CandidateNorm = -1,
        RejectionTimeS = coefficients.Options.MagneticMaximumRejectionTimeS,
        StartGain = 1,
    };
}
