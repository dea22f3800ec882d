using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>A contact transient at one shank.</summary>
/// <param name="Time">When it begins: the contact.</param>
/// <param name="JumpMps2">Largest change of the specific force over 12 ms, m/s2: how hard it is.</param>
/// <param name="SigmaS">Standard uncertainty of the time, s.</param>
internal readonly record struct ShankContact(SampleTime Time, double JumpMps2, double SigmaS);

/// <summary>Finds contact transients in the specific force of a shank.</summary>
/// <remarks>
/// A swinging leg reads several g too, but smoothly: leg swings have no content above some 8 Hz, a foot that meets the
/// floor rises within 10 to 25 ms. So the change of the force vector over a short time is looked at, not its size; the
/// vector, because the strap may be turned any way.
/// </remarks>
internal static class ShankContacts
{
    /// <summary>The change is taken over twice this, s.</summary>
    private const double HalfStepS = 0.006;

    // Smooth swings in the air stay below: 6 g of centripetal force that builds up over 100 ms changes by 7 m/s2 in 12 ms.
    private const double LeastJumpMps2 = 12;

    // The first rise that reaches this share of the hardest one in the window is the contact; what comes before is noise,
    // the strap, or the shock of the other leg through the pelvis.
    private const double FirstShare = 0.35;

    // The onset is where the change has fallen to this share of its local peak, walking back.
    private const double OnsetShare = 0.15;

    // A sharp contact is timed to about a sample; a soft one no better than the time its flank takes between the two
    // heights below, because then what was smoothed is the strap, the foot or a filter.
    private const double SharpSigmaS = 0.002;
    private const double FlankSigmaShare = 0.7;

    // The two heights on the flank through which its line is drawn.
    private const double LowShare = 0.2;
    private const double HighShare = 0.5;

    /// <summary>The first contact in the window, or null when nothing sharp happens.</summary>
    public static ShankContact? FirstIn(SampleTrack track, SampleTime from, SampleTime to)
    {
        if (track.IsEmpty)
        {
            return null;
        }

        var half = Math.Max(1, (int)Math.Round(HalfStepS * track.SampleRateHz));
        var first = Math.Max(track.IndexAtOrAfter(from), track.Begin + half);
        var end = Math.Min(track.IndexAtOrAfter(to), track.End - half);
        if (end - first < 2)
        {
            return null;
        }

        var changes = new double[end - first];
        var hardest = 0.0;
        for (var i = first; i < end; i++)
        {
            var change = (track[i + half].SpecificForceSensorMps2 - track[i - half].SpecificForceSensorMps2).Length;
            changes[i - first] = change;
            hardest = Math.Max(hardest, change);
        }

        if (hardest < LeastJumpMps2)
        {
            return null;
        }

        var level = Math.Max(LeastJumpMps2, FirstShare * hardest);
        var at = Array.FindIndex(changes, change => change >= level);
        while (at + 1 < changes.Length && changes[at + 1] > changes[at])
        {
            at++;
        }

        var peak = changes[at];
        var onset = at;
        while (onset > 0 && changes[onset] > OnsetShare * peak && changes[onset - 1] < changes[onset])
        {
            onset--;
        }

        var (time, flankS) = Flank(track, first + onset, first + at + half);
        return new(time, peak, SharpSigmaS + (FlankSigmaShare * flankS));
    }

    /// <summary>
    /// Where the rising flank, carried back from its lower half, leaves what the shank read before. On a half sine that is
    /// the contact within a hundredth of the rise time; on a flank that a filter has made soft it stays with the flank.
    /// </summary>
    private static (SampleTime Time, double FlankS) Flank(SampleTrack track, long onset, long steepest)
    {
        // What it read before: the last 10 ms up to the onset.
        var before = Vector3D.Zero;
        var count = 0;
        for (var i = Math.Max(track.Begin, onset - (long)(0.010 * track.SampleRateHz)); i <= onset; i++)
        {
            before += track[i].SpecificForceSensorMps2;
            count++;
        }

        before /= count;
        double Rise(long index) => (track[index].SpecificForceSensorMps2 - before).Length;

        // The steepest place lies at or below the middle of the flank; its top is the next local maximum.
        var top = steepest;
        while (top + 1 < track.End && Rise(top + 1) > Rise(top))
        {
            top++;
        }

        var low = Crossing(LowShare * Rise(top));
        var high = Crossing(HighShare * Rise(top));
        return (low.PlusSeconds(-(high - low) * LowShare / (HighShare - LowShare)), high - low);

        SampleTime Crossing(double level)
        {
            var index = top;
            while (index > onset && Rise(index) > level)
            {
                index--;
            }

            var share = Math.Clamp((level - Rise(index)) / Math.Max(Rise(index + 1) - Rise(index), 1e-9), 0, 1);
            return track[index].Time.PlusSeconds(share * (track[index + 1].Time - track[index].Time));
        }
    }
}
