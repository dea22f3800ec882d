using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>How much of the landing's shock gets from the ankle to the trunk, by frequency.</summary>
/// <remarks>
/// TF(f) = 10 log10 (PSD trunk / PSD ankle), negative when the body takes shock away, over the band of the impact, 10 to 20 Hz
/// (M. R. Shorten and D. S. Winslow 1992, Int J Sport Biomech 8:288-304: impact in the shank at 12 to 20 Hz, the active movement at 5 to 8 Hz). The power of the whole band is
/// compared, not the mean of the decibels: one landing has gaps in its spectrum, at which the ratio of two small numbers says nothing.
/// The axes are the three of each sensor, because legs and trunk lean differently: their powers are added.
/// </remarks>
internal static class ShockTransfer
{
    private const double LowHz = 10;
    private const double HighHz = 20;
    private const double StepHz = 0.5;

    // From before the contact to where the shock has passed and the step after a landing on one foot has not yet come.
    private const double BeforeS = 0.05;
    private const double AfterS = 0.25;

    /// <summary>Least rate at which the band is seen without aliasing from what lies above it, Hz.</summary>
    private const double LeastRateHz = 100;

    /// <summary>Trunk against ankle, dB; null when either was not seen whole, or a reading was at its rail.</summary>
    /// <param name="trunk">Trunk.</param>
    /// <param name="ankle">Shank of the landing foot.</param>
    /// <param name="contact">Contact of that foot.</param>
    public static double? Db(SampleTrack trunk, SampleTrack ankle, SampleTime contact) =>
        BandPower(trunk, contact) is { } proximal && BandPower(ankle, contact) is > 0 and var distal && proximal > 0
            ? 10 * Math.Log10(proximal / distal)
            : null;

    private static double? BandPower(SampleTrack track, SampleTime contact)
    {
        var (from, to) = (contact.PlusSeconds(-BeforeS), contact.PlusSeconds(AfterS));
        if (track.SampleRateHz < LeastRateHz || track.IsEmpty || !track.Covers(from, to))
        {
            return null;
        }

        var first = track.IndexAtOrAfter(from);
        var count = (int)(track.IndexAtOrAfter(to) - first);
        var mean = Vector3D.Zero;
        for (var i = 0; i < count; i++)
        {
            if ((track[first + i].Marks & (SampleMarks.AccelerometerSaturated | SampleMarks.Bridged)) != SampleMarks.None)
            {
                return null;
            }

            mean += track[first + i].SpecificForceSensorMps2 / count;
        }

        var power = 0.0;
        for (var hz = LowHz; hz <= HighHz; hz += StepHz)
        {
            var (real, imaginary) = (Vector3D.Zero, Vector3D.Zero);
            for (var i = 0; i < count; i++)
            {
                // Hann: the ends, where other movement goes on, count little.
                var weight = Math.Pow(Math.Sin(Math.PI * (i + 0.5) / count), 2);
                var (sin, cos) = Math.SinCos(2 * Math.PI * hz * i / track.SampleRateHz);
                var force = weight * (track[first + i].SpecificForceSensorMps2 - mean);
                real += cos * force;
                imaginary += sin * force;
            }

            power += real.LengthSquared + imaginary.LengthSquared;
        }

        // As an integral over time: two rates compare.
        return power / (track.SampleRateHz * track.SampleRateHz);
    }
}
