using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// The first check of every filter: finite numbers, and times that follow at the sample interval. Part of a filter's
/// state, so that a restored filter refuses the same samples.
/// </summary>
internal record struct SampleGate
{
    private SampleTime _last;
    private bool _hasLast;

    public static UpdateResult CheckFinite(in Vector3D angularRate, in Vector3D specificForce) =>
        !angularRate.IsFinite ? new(InputFault.AngularRateNotFinite)
        : !specificForce.IsFinite ? new(InputFault.SpecificForceNotFinite)
        : UpdateResult.Accepted;

    public static UpdateResult CheckFinite(in Vector3D angularRate, in Vector3D specificForce, in Vector3D magneticField)
    {
        var result = CheckFinite(angularRate, specificForce);
        return result.IsAccepted && !magneticField.IsFinite ? new(InputFault.MagneticFieldNotFinite) : result;
    }

    /// <summary>Whether the time may follow the last one taken. Changes nothing.</summary>
    public readonly UpdateResult CheckTime(in ImuSample sample, double intervalS)
    {
        if (!_hasLast)
        {
            return UpdateResult.Accepted;
        }

        var stepS = sample.Time - _last;
        if (stepS < 0.5 * intervalS)
        {
            return new(InputFault.TimeTooEarly, stepS, intervalS);
        }

        return stepS > 1.5 * intervalS && (sample.Marks & SampleMarks.AfterGap) == SampleMarks.None
            ? new(InputFault.TimeJump, stepS, intervalS)
            : UpdateResult.Accepted;
    }

    /// <summary>Remembers the time of a sample that was taken.</summary>
    public void Take(SampleTime time)
    {
        _last = time;
        _hasLast = true;
    }
}
