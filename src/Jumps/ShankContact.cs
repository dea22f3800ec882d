using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>A contact transient at one shank.</summary>
/// <param name="Time">When it begins: the contact.</param>
/// <param name="JumpMps2">Largest change of the specific force over 12 ms, m/s2: how hard it is.</param>
internal readonly record struct ShankContact(SampleTime Time, double JumpMps2);

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

        // The change at a sample looks half a step ahead, so it begins to grow half a step before the contact.
        return new(track[first + onset + half].Time, peak);
    }
}
