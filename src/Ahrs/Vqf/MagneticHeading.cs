using System.Runtime.Intrinsics;
using Saltograph.Imu;

namespace Saltograph.Ahrs;

/// <summary>
/// Heading correction and magnetic disturbance rejection (sections 3.4 and 3.5 of the VQF paper), over any level frame.
/// </summary>
internal static class MagneticHeading
{
    /// <summary>One magnetometer sample: the next heading of the level frame in the earth, rad.</summary>
    /// <param name="m">What is remembered.</param>
    /// <param name="c">Coefficients.</param>
    /// <param name="earthFromLevelRad">Heading so far.</param>
    /// <param name="fieldLevel">The field in the level frame, not zero.</param>
    /// <param name="meanRateRadps">Low-passed angular rate.</param>
    public static double Step(
        ref VqfMagneticState m, VqfCoefficients c, double earthFromLevelRad, in Vector3D fieldLevel, in Vector3D meanRateRadps)
    {
        if (c.Options.MagneticDisturbanceRejection)
        {
            DetectDisturbance(ref m, c, fieldLevel, meanRateRadps);
        }

        // North along y: the heading that turns the horizontal field onto y.
        return Correct(ref m, c, earthFromLevelRad, Math.Atan2(fieldLevel.X, fieldLevel.Y), m.Disturbed);
    }

    /// <summary>One step of the heading filter, also used by the offline passes.</summary>
    public static double Correct(
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

    public static void DetectDisturbance(
        ref VqfMagneticState m, VqfCoefficients c, in Vector3D fieldLevel, in Vector3D meanRateRadps)
    {
        var options = c.Options;
        var length = fieldLevel.Length;
        var lanes = Vector256.Create(length, -Math.Asin(Math.Clamp(fieldLevel.Z / length, -1, 1)), 0, 0);
        if (options.MagneticFilterTimeConstantS > 0)
        {
            lanes = m.NormDip.Step(c.MagneticNormDip, lanes);
        }

        var norm = lanes.GetElement(0);
        var dipRad = lanes.GetElement(1);
        if (Fits(c, norm, dipRad, m.ReferenceNorm, m.ReferenceDipRad))
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

        if (!Fits(c, norm, dipRad, m.CandidateNorm, m.CandidateDipRad))
        {
            m.CandidateTimeS = 0;
            m.CandidateNorm = norm;
            m.CandidateDipRad = dipRad;
            return;
        }

        if (meanRateRadps.Length >= c.NewFieldRateRadps)
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

    private static bool Fits(
        VqfCoefficients c, double norm, double dipRad, double expectedNorm, double expectedDipRad) =>
        Math.Abs(norm - expectedNorm) < c.Options.MagneticNormTolerance * expectedNorm
        && Math.Abs(dipRad - expectedDipRad) < c.DipToleranceRad;
}
