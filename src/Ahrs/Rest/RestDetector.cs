using System.Runtime.Intrinsics;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// When a sensor counts as resting (section 3.3 of the VQF paper): for a minimum time neither sensor strays from its
/// own low-passed value, and the low-passed rate is no larger than a bias can be.
/// </summary>
internal sealed class RestDetector
{
    private readonly SettlingLowPass _angularRate;
    private readonly SettlingLowPass _specificForce;
    private readonly double _minimumTimeS;
    private readonly double _forceIntervalS;

    internal RestDetector(in RestLimits limits, double gyroscopeIntervalS, double accelerometerIntervalS)
    {
        _angularRate = new(limits.FilterTimeConstantS, gyroscopeIntervalS);
        _specificForce = new(limits.FilterTimeConstantS, accelerometerIntervalS);
        RateLimitSquared = limits.AngularRateRadps * limits.AngularRateRadps;
        ForceLimitSquared = limits.SpecificForceMps2 * limits.SpecificForceMps2;
        MeanRateLimit = limits.MeanAngularRateRadps;
        _minimumTimeS = limits.MinimumTimeS;
        _forceIntervalS = accelerometerIntervalS;
    }

    public ref readonly SettlingLowPass AngularRate => ref _angularRate;

    public ref readonly SettlingLowPass SpecificForce => ref _specificForce;

    public double RateLimitSquared { get; }

    public double ForceLimitSquared { get; }

    public double MeanRateLimit { get; }

    public void StepAngularRate(ref RestState state, in Vector3D rateRadps)
    {
        var lanes = state.AngularRate.Step(_angularRate, Vector256.Create(rateRadps.X, rateRadps.Y, rateRadps.Z, 0));
        var mean = new Vector3D(lanes.GetElement(0), lanes.GetElement(1), lanes.GetElement(2));
        state.MeanAngularRateRadps = mean;
        if ((rateRadps - mean).LengthSquared >= RateLimitSquared
            || Math.Abs(mean.X) > MeanRateLimit || Math.Abs(mean.Y) > MeanRateLimit || Math.Abs(mean.Z) > MeanRateLimit)
        {
            state.TimeS = 0;
            state.AtRest = false;
        }
    }

    public void StepSpecificForce(ref RestState state, in Vector3D forceMps2)
    {
        var lanes = state.SpecificForce.Step(_specificForce, Vector256.Create(forceMps2.X, forceMps2.Y, forceMps2.Z, 0));
        var mean = new Vector3D(lanes.GetElement(0), lanes.GetElement(1), lanes.GetElement(2));
        if ((forceMps2 - mean).LengthSquared >= ForceLimitSquared)
        {
            state.TimeS = 0;
            state.AtRest = false;
            return;
        }

        state.TimeS += _forceIntervalS;
        if (state.TimeS >= _minimumTimeS)
        {
            state.AtRest = true;
        }
    }
}

/// <summary>Limits of <see cref="RestDetector"/>.</summary>
/// <param name="MinimumTimeS">How long it must be still, s.</param>
/// <param name="FilterTimeConstantS">Time constant of the low passes, s.</param>
/// <param name="AngularRateRadps">Largest deviation of the rate from its mean, rad/s.</param>
/// <param name="SpecificForceMps2">Largest deviation of the specific force from its mean, m/s2.</param>
/// <param name="MeanAngularRateRadps">Largest mean rate per axis, rad/s.</param>
internal readonly record struct RestLimits(
    double MinimumTimeS,
    double FilterTimeConstantS,
    double AngularRateRadps,
    double SpecificForceMps2,
    double MeanAngularRateRadps)
{
    /// <summary>The values of the VQF paper.</summary>
    public static RestLimits Default => new(1.5, 0.5, 2 * Angles.RadPerDeg, 0.5, 2 * Angles.RadPerDeg);
}

/// <summary>What <see cref="RestDetector"/> remembers.</summary>
internal record struct RestState
{
    public SettlingLowPassState AngularRate;
    public SettlingLowPassState SpecificForce;
    public Vector3D MeanAngularRateRadps;
    public double TimeS;
    public bool AtRest;
}
