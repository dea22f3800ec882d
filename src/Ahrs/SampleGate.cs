using System.Runtime.CompilerServices;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// The first check of every filter: finite numbers of a possible size, and times that follow at the sample interval. Part of a filter's
/// state, so that a restored filter refuses the same samples.
/// </summary>
internal record struct SampleGate
{
    private SampleTime _last;
    private bool _hasLast;

    public static UpdateResult Check(in Vector3D angularRate, in Vector3D specificForce) =>
        IsWithin(angularRate, UpdateResult.LargestRateRadps) && IsWithin(specificForce, UpdateResult.LargestForceMps2)
            ? UpdateResult.Accepted
            : Why(angularRate, specificForce, Vector3D.Zero);

    public static UpdateResult Check(in Vector3D angularRate, in Vector3D specificForce, in Vector3D magneticField) =>
        IsWithin(angularRate, UpdateResult.LargestRateRadps)
        && IsWithin(specificForce, UpdateResult.LargestForceMps2)
        && IsWithin(magneticField, UpdateResult.LargestField)
            ? UpdateResult.Accepted
            : Why(angularRate, specificForce, magneticField);

    /// <summary>Also false for NaN.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static bool IsWithin(in Vector3D v, double limit) =>
        Math.Abs(v.X) <= limit && Math.Abs(v.Y) <= limit && Math.Abs(v.Z) <= limit;

    private static UpdateResult Why(in Vector3D angularRate, in Vector3D specificForce, in Vector3D magneticField) => new(
        !angularRate.IsFinite ? InputFault.AngularRateNotFinite
        : !specificForce.IsFinite ? InputFault.SpecificForceNotFinite
        : !magneticField.IsFinite ? InputFault.MagneticFieldNotFinite
        : !IsWithin(angularRate, UpdateResult.LargestRateRadps) ? InputFault.AngularRateTooLarge
        : !IsWithin(specificForce, UpdateResult.LargestForceMps2) ? InputFault.SpecificForceTooLarge
        : InputFault.MagneticFieldTooLarge);

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
