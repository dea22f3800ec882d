namespace Saltograph.Ahrs;

/// <summary>Why a sample was refused.</summary>
public enum InputFault
{
    /// <summary>It was taken.</summary>
    None = 0,

    /// <summary>A gyroscope component is NaN or infinite.</summary>
    AngularRateNotFinite = 1,

    /// <summary>An accelerometer component is NaN or infinite.</summary>
    SpecificForceNotFinite = 2,

    /// <summary>A magnetometer component is NaN or infinite.</summary>
    MagneticFieldNotFinite = 3,

    /// <summary>The time is not later than that of the last sample, or less than half an interval later.</summary>
    TimeTooEarly = 4,

    /// <summary>Samples are missing: the time is more than one and a half intervals later.</summary>
    TimeJump = 5,

    /// <summary>A gyroscope component is larger than any sensor can read.</summary>
    AngularRateTooLarge = 6,

    /// <summary>An accelerometer component is larger than any sensor can read.</summary>
    SpecificForceTooLarge = 7,

    /// <summary>A magnetometer component is so large that its square could not be told from infinity.</summary>
    MagneticFieldTooLarge = 8,
}

/// <summary>What a filter says to one sample. The default value means: taken.</summary>
/// <param name="Fault">Why it was refused, or <see cref="InputFault.None"/>.</param>
/// <param name="StepS">For a refused time: the step since the last sample, s.</param>
/// <param name="IntervalS">For a refused time: the interval of the filter, s.</param>
public readonly record struct UpdateResult(InputFault Fault, double StepS = 0, double IntervalS = 0)
{
    /// <summary>Largest gyroscope component that is taken, rad/s: far above any sensor, far below where numbers overflow.</summary>
    public const double LargestRateRadps = 1000;

    /// <summary>Largest accelerometer component that is taken, m/s2 (about 10000 g).</summary>
    public const double LargestForceMps2 = 1e5;

    internal const double LargestField = 1e12;

    /// <summary>The sample was taken.</summary>
    public static UpdateResult Accepted => default;

    /// <summary>Whether the sample was taken.</summary>
    public bool IsAccepted => Fault == InputFault.None;

    /// <summary>The reason in words, with what was found and what is allowed; empty when taken.</summary>
    public string Reason => Fault switch
    {
        InputFault.None => string.Empty,
        InputFault.AngularRateNotFinite => "angular rate is not finite; allowed: finite rad/s",
        InputFault.SpecificForceNotFinite => "specific force is not finite; allowed: finite m/s2",
        InputFault.MagneticFieldNotFinite => "magnetic field is not finite; allowed: finite numbers",
        InputFault.AngularRateTooLarge => "angular rate is too large; allowed: up to 1000 rad/s on each axis",
        InputFault.SpecificForceTooLarge => "specific force is too large; allowed: up to 100000 m/s2 on each axis",
        InputFault.MagneticFieldTooLarge => "magnetic field is too large; allowed: up to 1e12 on each axis",
        _ => FormattableString.Invariant(
            $"time step {StepS:0.######} s since the last sample; allowed: {0.5 * IntervalS:0.######} to {1.5 * IntervalS:0.######} s"),
    };
}
