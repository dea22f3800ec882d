using System.Runtime.Intrinsics;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <content>Heading correction and magnetic disturbance rejection (sections 3.4 and 3.5 of the paper).</content>
public sealed partial class VqfFilter
{
    /// <summary>Magnetometer step alone. A sample of exact zeros is a sensor without data and skipped.</summary>
    /// <param name="magneticFieldSensor">Magnetometer, in any unit that stays the same.</param>
    public UpdateResult UpdateMagneticField(in Vector3D magneticFieldSensor)
    {
        if (!magneticFieldSensor.IsFinite)
        {
            return new(InputFault.MagneticFieldNotFinite);
        }

        if (magneticFieldSensor == Vector3D.Zero)
        {
            return UpdateResult.Accepted;
        }

        ref var s = ref _state;
        var fieldLevel = s.LevelFromSensor.Rotate(magneticFieldSensor);
        if (_coefficients.Options.MagneticDisturbanceRejection)
        {
            DetectDisturbance(ref s, fieldLevel);
        }

        // North along y: the heading that turns the horizontal field onto y.
        s.EarthFromLevelRad = CorrectHeading(
            ref s.Magnetic, _coefficients, s.EarthFromLevelRad, Math.Atan2(fieldLevel.X, fieldLevel.Y), s.Magnetic.Disturbed);
        return UpdateResult.Accepted;
    }

    /// <summary>One step of the heading filter, also used by the offline passes.</summary>
    internal static double CorrectHeading(
        ref VqfMagneticState m, VqfCoefficients c, double earthFromLevelRad, double measuredRad, bool disturbed)
    {
        var gain = c.HeadingGain;
        if (c.Options.MagneticDisturbanceRejection)
        {
            if (!disturbed)
            {
                m.RejectionTimeS = Math.Max(m.RejectionTimeS - (c.Options.MagneticRejectionFactor * c.MagnetometerIntervalS), 0);
            }
            else if (m.RejectionTimeS <= c.Options.MagneticMaximumRejectionTimeS)
            {
                m.RejectionTimeS += c.MagnetometerIntervalS;
                gain = 0;
            }
            else
            {
                gain /= c.Options.MagneticRejectionFactor;
            }
        }

        if (m.StartGain != 0)
        {
            gain = Math.Max(gain, m.StartGain);
            m.StartGain /= m.StartGain + 1;
            if (m.StartGain * c.Options.MagnetometerTimeConstantS < c.MagnetometerIntervalS)
            {
                m.StartGain = 0;
            }
        }

        return Angles.WrapRad(earthFromLevelRad + (gain * Angles.WrapRad(measuredRad - earthFromLevelRad)));
    }

    private void DetectDisturbance(ref VqfState s, in Vector3D fieldLevel)
    {
        var c = _coefficients;
        var options = c.Options;
        ref var m = ref s.Magnetic;
        var length = fieldLevel.Length;
        var lanes = Vector256.Create(length, -Math.Asin(Math.Clamp(fieldLevel.Z / length, -1, 1)), 0, 0);
        if (options.MagneticFilterTimeConstantS > 0)
        {
            lanes = m.NormDip.Step(c.MagneticNormDip, lanes);
        }

        var norm = lanes.GetElement(0);
        var dipRad = lanes.GetElement(1);
        if (Fits(norm, dipRad, m.ReferenceNorm, m.ReferenceDipRad))
        {
            m.UndisturbedTimeS += c.MagnetometerIntervalS;
            if (m.UndisturbedTimeS >= options.MagneticMinimumUndisturbedTimeS)
            {
                m.Disturbed = false;
                m.ReferenceNorm += c.ReferenceGain * (norm - m.ReferenceNorm);
                m.ReferenceDipRad += c.ReferenceGain * (dipRad - m.ReferenceDipRad);
            }
        }
        else
        {
            m.UndisturbedTimeS = 0;
            m.Disturbed = true;
        }

        if (!Fits(norm, dipRad, m.CandidateNorm, m.CandidateDipRad))
        {
            m.CandidateTimeS = 0;
            m.CandidateNorm = norm;
            m.CandidateDipRad = dipRad;
            return;
        }

        if (s.LowPassedAngularRateRadps.Length >= c.NewFieldRateRadps)
        {
            m.CandidateTimeS += c.MagnetometerIntervalS;
        }

        m.CandidateNorm += c.ReferenceGain * (norm - m.CandidateNorm);
        m.CandidateDipRad += c.ReferenceGain * (dipRad - m.CandidateDipRad);
        var first = m.ReferenceNorm == 0;
        if (m.Disturbed && (m.CandidateTimeS >= options.MagneticNewFieldTimeS
            || (first && m.CandidateTimeS >= options.MagneticFirstFieldTimeS)))
        {
            m.ReferenceNorm = m.CandidateNorm;
            m.ReferenceDipRad = m.CandidateDipRad;
            m.Disturbed = false;
            m.UndisturbedTimeS = options.MagneticMinimumUndisturbedTimeS;
        }
    }

    private bool Fits(double norm, double dipRad, double expectedNorm, double expectedDipRad) =>
        Math.Abs(norm - expectedNorm) < _coefficients.Options.MagneticNormTolerance * expectedNorm
        && Math.Abs(dipRad - expectedDipRad) < _coefficients.DipToleranceRad;
}
