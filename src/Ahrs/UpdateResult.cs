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
}

/// <summary>What a filter says to one sample. The default value means: taken.</summary>
/// <param name="Fault">Why it was refused, or <see cref="InputFault.None"/>.</param>
/// <param name="StepS">For a refused time: the step since the last sample, s.</param>
/// <param name="IntervalS">For a refused time: the interval of the filter, s.</param>
public readonly record struct UpdateResult(InputFault Fault, double StepS = 0, double IntervalS = 0)
{
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
        _ => FormattableString.Invariant(
            $"time step {StepS:0.######} s since the last sample; allowed: {0.5 * IntervalS:0.######} to {1.5 * IntervalS:0.######} s"),
    };
}
