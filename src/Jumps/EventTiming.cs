using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Puts take-off and landing together from the trunk and whichever shanks there are.</summary>
internal static class EventTiming
{
    // The trunk shows the landing up to 20 ms after the foot, and its edge is uncertain by as much again.
    private const double LandingSearchBeforeS = 0.07;
    private const double LandingSearchAfterS = 0.03;
    private const double LandingSpreadS = 0.02;

    // The edge of the trunk alone.
    private const double TrunkLandingSigmaS = 0.010;

    // The shock of one leg reaches the other through the pelvis; a foot that lands itself is harder than this share.
    private const double OwnContactShare = 0.3;

    public static FootEvents Find(
        SampleTrack trunk, SampleTrack? left, SampleTrack? right, in FlightCandidate candidate, SampleTime until, JumpOptions options)
    {
        var (takeoff, landing) = TrunkEdges.Find(trunk, candidate, options.GravityMps2);
        var from = landing.PlusSeconds(-LandingSearchBeforeS);
        var to = landing.PlusSeconds(LandingSearchAfterS);
        var leftContact = left is null ? null : ShankContacts.Find(left, from, to, landing, LandingSpreadS);
        var rightContact = right is null ? null : ShankContacts.Find(right, from, to, landing, LandingSpreadS);
        var hardest = Math.Max(leftContact?.JumpMps2 ?? 0, rightContact?.JumpMps2 ?? 0);
        leftContact = leftContact?.JumpMps2 >= OwnContactShare * hardest ? leftContact : null;
        rightContact = rightContact?.JumpMps2 >= OwnContactShare * hardest ? rightContact : null;

        var sharp = Earlier(leftContact?.Time, rightContact?.Time);
        var first = sharp is null ? landing : Combine(sharp == leftContact?.Time ? leftContact!.Value : rightContact!.Value, landing);

        // The foot that has not landed by then lands later: its first transient after the search window.
        leftContact ??= left is null ? null : ShankContacts.Find(left, to, until, null, 0);
        rightContact ??= right is null ? null : ShankContacts.Find(right, to, until, null, 0);
        return new()
        {
            Takeoff = takeoff,
            Landing = first,
            TakeoffFoot = Stance.AtTakeoff(left, right, takeoff),
            LandingFoot = LandingFoot(leftContact?.Time, rightContact?.Time, sharp, options),
            LeftContact = leftContact?.Time,
            RightContact = rightContact?.Time,
            LandingIsSharp = sharp is not null,
        };
    }

    /// <summary>A sharp contact stands for itself; a soft one is weighed against the trunk by inverse variances.</summary>
    private static SampleTime Combine(in ShankContact contact, SampleTime trunkLanding)
    {
        var trunkWeight = 1 / (TrunkLandingSigmaS * TrunkLandingSigmaS);
        var contactWeight = 1 / (contact.SigmaS * contact.SigmaS);
        return contact.Time.PlusSeconds((trunkLanding - contact.Time) * trunkWeight / (trunkWeight + contactWeight));
    }

    private static SampleTime? Earlier(SampleTime? a, SampleTime? b) => a is null ? b : b is null || a <= b ? a : b;

    private static Foot? LandingFoot(SampleTime? left, SampleTime? right, SampleTime? sharp, JumpOptions options)
    {
        if (sharp is null)
        {
            return null;
        }

        if (left is { } l && right is { } r && Math.Abs(l - r) <= options.BothFeetWithinS)
        {
            return Foot.Both;
        }

        return sharp == left ? Foot.Left : Foot.Right;
    }
}
