using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Which of the transients at a shank around the landing is its contact.</summary>
/// <remarks>
/// There may be several: a leg that stops its swing just before the floor, the forefoot, the heel, the strap, the shock of
/// the other leg. The contact is among the hard ones; of those the first counts, a later one is the heel.
/// </remarks>
internal static class LandingContact
{
    // The heel may be harder than the forefoot, a swing that stops and a shock from the other leg are softer.
    private const double FirstShareOfHardest = 0.4;

    /// <summary>The contact, or null when nothing sharp happens or there is no shank.</summary>
    public static ShankContact? Find(SampleTrack? shank, SampleTime from, SampleTime to)
    {
        if (shank is null)
        {
            return null;
        }

        var contacts = ShankContacts.In(shank, from, to);
        return contacts.Count == 0
            ? null
            : contacts.Find(contact => contact.JumpMps2 >= FirstShareOfHardest * contacts.Max(other => other.JumpMps2));
    }
}
