using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>A contact transient at one shank.</summary>
/// <param name="Time">When its flank begins: the contact.</param>
/// <param name="JumpMps2">Largest rise of the vertical specific force over 12 ms, m/s2: how hard it is.</param>
/// <param name="SigmaS">Standard uncertainty of the time, s.</param>
internal readonly record struct ShankContact(SampleTime Time, double JumpMps2, double SigmaS);

/// <summary>Finds contact transients in the specific force of a shank.</summary>
/// <remarks>
/// A swinging leg reads several g too, but smoothly: leg swings have no content above some 8 Hz, a foot that meets the
/// floor rises within 10 to 25 ms. And the floor pushes up: only a rise of the vertical specific force in the earth frame
/// is a contact, while a swing that is stopped just before it takes centripetal force away.
/// </remarks>
internal static class ShankContacts
{
    /// <summary>The change is taken over twice this, s.</summary>
    private const double HalfStepS = 0.006;

    // Smooth swings in the air stay below: 6 g of centripetal force that builds up over 100 ms changes by 7 m/s2 in 12 ms.
    private const double LeastJumpMps2 = 12;

    // Before the flank the shank reads something steady; the flank begins where its rate falls to this share of the steepest.
    private const double OnsetShare = 0.15;

    // The two heights on the flank through which its line is drawn.
    private const double LowShare = 0.2;
    private const double HighShare = 0.5;

    // A sharp contact is timed to about a sample; a soft one no better than the time its flank takes between the two
    // heights, because then what was smoothed is the strap, the foot or a filter.
    private const double SharpSigmaS = 0.002;
    private const double FlankSigmaShare = 0.7;

    /// <summary>All contacts in a window, in order of time.</summary>
    /// <param name="track">The shank.</param>
    /// <param name="from">Start of the window.</param>
    /// <param name="to">End of the window.</param>
    public static List<ShankContact> In(SampleTrack track, SampleTime from, SampleTime to)
    {
        var contacts = new List<ShankContact>();
        if (track.IsEmpty)
        {
            return contacts;
        }

        var half = Math.Max(1, (int)Math.Round(HalfStepS * track.SampleRateHz));
        var first = Math.Max(track.IndexAtOrAfter(from), track.Begin + half);
        var end = Math.Min(track.IndexAtOrAfter(to), track.End - half);

        double Rise(long index) =>
            track[index + half].SpecificForceEarthMps2.Z - track[index - half].SpecificForceEarthMps2.Z;

        for (var i = first + 1; i < end - 1; i++)
        {
            var rise = Rise(i);
            if (rise < LeastJumpMps2 || rise < Rise(i - 1) || rise <= Rise(i + 1))
            {
                continue;
            }

            var onset = i;
            while (onset > first && Rise(onset) > OnsetShare * rise && Rise(onset - 1) < Rise(onset))
            {
                onset--;
            }

            var (time, flankS) = Flank(track, onset, i + half);
            contacts.Add(new(time, rise, SharpSigmaS + (FlankSigmaShare * flankS)));
        }

        return contacts;
    }

    /// <summary>The first contact in a window that no later one there is much harder than; null when nothing sharp happens.</summary>
    public static ShankContact? FirstIn(SampleTrack track, SampleTime from, SampleTime to)
    {
        ShankContact? best = null;
        foreach (var contact in In(track, from, to))
        {
            if (best is null || contact.JumpMps2 > MuchHarder * best.Value.JumpMps2)
            {
                best = contact;
            }
        }

        return best;
    }

    private const double MuchHarder = 2.5;

    /// <summary>
    /// Where the rising flank, carried back from its lower half, leaves what the shank read before. On a half sine that is
    /// the contact within a hundredth of the rise time; on a flank that a filter has made soft it stays with the flank.
    /// </summary>
    private static (SampleTime Time, double FlankS) Flank(SampleTrack track, long onset, long steepest)
    {
        double Up(long index) => track[index].SpecificForceEarthMps2.Z;

        // What it read before: the lowest of the last 8 ms up to the onset.
        var before = Up(onset);
        for (var i = Math.Max(track.Begin, onset - (long)(0.008 * track.SampleRateHz)); i < onset; i++)
        {
            before = Math.Min(before, Up(i));
        }

        // The steepest place lies at or below the middle of the flank; its top is the next local maximum.
        var top = steepest;
        while (top + 1 < track.End && Up(top + 1) > Up(top))
        {
            top++;
        }

        var height = Up(top) - before;
        var low = Crossing(before + (LowShare * height));
        var high = Crossing(before + (HighShare * height));
        return (low.PlusSeconds(-(high - low) * LowShare / (HighShare - LowShare)), high - low);

        SampleTime Crossing(double level)
        {
            var index = top - 1;
            while (index > onset && Up(index) > level)
            {
                index--;
            }

            var share = Math.Clamp((level - Up(index)) / Math.Max(Up(index + 1) - Up(index), 1e-9), 0, 1);
            return track[index].Time.PlusSeconds(share * (track[index + 1].Time - track[index].Time));
        }
    }
}
