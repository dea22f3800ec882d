using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>All that changes in an <see cref="AthleteFilter"/>; a copy is an exact checkpoint.</summary>
public struct AthleteState
{
    internal SampleGate Gate;
    internal RestState Rest;

    internal Rotation LevelFromSensor;
    internal Vector3D BiasRadps;
    internal Vector3D Scale;
    internal double VelocityX;
    internal double VelocityY;

    // Before levelling: the mean of the specific force in the frame of the first sample.
    internal Vector3D ForceSum;
    internal double StartTimeS;
    internal bool Levelled;

    // Two hypotheses, staying in place and travelling, about the same estimate: their means are differences to it.
    internal ErrorState InPlace;
    internal ErrorState Travel;
    internal double TravelProbability;
    internal double InPlaceLikelihood;
    internal double TravelLikelihood;

    // Of the last finished stretch: logarithm of the likelihood of travelling over that of staying.
    internal double LikelihoodRatio;
    internal int Stretches;

    internal StepSums Sums;
    internal int SamplesInStep;
    internal int StepsInStretch;

    // Mean velocity of the running stretch (as integral) and of the one before.
    internal double PathX;
    internal double PathY;
    internal double StretchTimeS;
    internal double PreviousX;
    internal double PreviousY;
    internal double PreviousTimeS;
    internal bool HasPrevious;

    internal Vector3D LastForce;
    internal Vector3D LastRate;
    internal Vector3D BiasSigmaRadps;
    internal HeadingTrust Heading;

    internal double EarthFromLevelRad;
    internal VqfMagneticState Magnetic;

    /// <summary>Probability that the person travels rather than moving in place, 0 to 1.</summary>
    public readonly double TravellingProbability => TravelProbability;

    internal static AthleteState Start(AthleteCoefficients coefficients)
    {
        var initial = coefficients.Options.InitialBiasSigmaDps * Angles.RadPerDeg;
        return new()
        {
            LevelFromSensor = Rotation.Identity,
            TravelProbability = 0.5,
            BiasSigmaRadps = new(initial, initial, initial),
            Magnetic = VqfMagneticState.Start(coefficients.Magnetic),
        };
    }
}
