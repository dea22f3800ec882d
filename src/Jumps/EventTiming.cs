using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Puts take-off and landing together from the trunk and whichever shanks there are.</summary>
internal static class EventTiming
{
    // Contacts of either foot: of the first one around the landing, of the second one up to this long after it.
    private const double ContactBeforeS = 0.010;
    private const double ContactAfterS = 0.035;

    // A transient further from the loading than this is another event.
    private const double SameContactS = 0.006;

    // Beyond the fastest rise and the fastest fall: room for the filter, and for contacts after the trunk's landing.
    private const double MarginS = 0.15;

    // The loading edge is 1.3 ms (1 sigma) from simulated contacts.
    private const double LoadingSigmaS = 0.0025;

    // While it is not yet known whether a foot stands: the shock of one leg reaches the other through the pelvis, and a
    // foot that lands itself is harder than this share.
    private const double OwnContactShare = 0.5;

    /// <summary>Finds the events of one flight.</summary>
    /// <param name="trunk">Trunk.</param>
    /// <param name="left">Left shank, when there is one.</param>
    /// <param name="right">Right shank, when there is one.</param>
    /// <param name="candidate">The flight as found.</param>
    /// <param name="until">How far samples belong to it.</param>
    /// <param name="arms">Where the sensors sit.</param>
    /// <param name="options">Thresholds.</param>
    public static FootEvents Find(
        SampleTrack trunk,
        SampleTrack? left,
        SampleTrack? right,
        in FlightCandidate candidate,
        SampleTime until,
        in ArmLengths arms,
        JumpOptions options)
    {
        var centre = CentreOfMass.Over(
            trunk, left, right, candidate.FastestUp.PlusSeconds(-MarginS), candidate.FastestDown.PlusSeconds(MarginS), arms);
        var edges = ForceEdges.Find(centre, candidate, options.GravityMps2);
        if (left is null || right is null)
        {
            edges = UnseenLegs.Find(trunk, left, right, centre, edges, candidate, arms, options.GravityMps2);
        }

        var takeoffFoot = Stance.AtTakeoff(left, right, edges.Takeoff);
        var toeOff = takeoffFoot switch
        {
            Foot.Left => ToeOff.Find([left!], edges.Takeoff),
            Foot.Right => ToeOff.Find([right!], edges.Takeoff),
            Foot.Both => ToeOff.Find([left!, right!], edges.Takeoff),
            _ => null,
        };
        var loading = edges.Landing;
        var from = loading.PlusSeconds(-ContactBeforeS);
        var to = loading.PlusSeconds(ContactAfterS);
        var leftFirst = LandingContact.Find(left, from, to);
        var rightFirst = LandingContact.Find(right, from, to);
        var leftLands = Lands(left, leftFirst, rightFirst);
        var rightLands = Lands(right, rightFirst, leftFirst);
        leftFirst = leftLands ? leftFirst : null;
        rightFirst = rightLands ? rightFirst : null;
        var first = leftFirst is null || rightFirst?.Time < leftFirst.Value.Time ? rightFirst : leftFirst;
        if (first is { } found && Math.Abs(found.Time - loading) > SameContactS)
        {
            first = null;
        }

        var landing = first is { } contact ? Combine(contact, loading) : loading;
        var leftContact = leftFirst?.Time ?? Softly(left, landing) ?? StepsOn(left, to, until);
        var rightContact = rightFirst?.Time ?? Softly(right, landing) ?? StepsOn(right, to, until);
        return new()
        {
            Takeoff = toeOff?.Time ?? edges.Takeoff,
            Landing = landing,
            FadeS = edges.FadeS,
            FlankS = edges.FlankS,
            TakeoffFoot = takeoffFoot,
            ToeOffSigmaS = toeOff?.SigmaS,
            LandingFoot = left is null || right is null ? null
                : Stance.AtLanding(left, right, landing) ?? LandingFoot(leftContact, rightContact, landing, options),
            LeftContact = leftContact,
            RightContact = rightContact,
            LandingIsSharp = first is not null,
        };
    }

    private static bool Lands(SampleTrack? shank, ShankContact? contact, ShankContact? other) =>
        shank is not null && contact is { } own
        && (Stance.After(shank, own.Time) ?? own.JumpMps2 >= OwnContactShare * (other?.JumpMps2 ?? 0));

    /// <summary>A foot that stands after the landing without having shown a contact came down softly with it.</summary>
    private static SampleTime? Softly(SampleTrack? shank, SampleTime landing) =>
        shank is not null && Stance.After(shank, landing) == true ? landing : null;

    private static Foot? LandingFoot(SampleTime? left, SampleTime? right, SampleTime landing, JumpOptions options)
    {
        var leftNow = left is { } l && l - landing <= options.BothFeetWithinS;
        var rightNow = right is { } r && r - landing <= options.BothFeetWithinS;
        return leftNow && rightNow ? Foot.Both : leftNow ? Foot.Left : rightNow ? Foot.Right : null;
    }

    /// <summary>A foot that has not landed by then steps on later: its first contact after which it stands.</summary>
    private static SampleTime? StepsOn(SampleTrack? shank, SampleTime from, SampleTime until) =>
        shank is not null && ShankContacts.FirstIn(shank, from, until) is { } contact && Stance.After(shank, contact.Time) == true
            ? contact.Time
            : null;

    /// <summary>The transient and the loading, weighed by inverse variances.</summary>
    private static SampleTime Combine(in ShankContact contact, SampleTime loading)
    {
        var loadingWeight = 1 / (LoadingSigmaS * LoadingSigmaS);
        var contactWeight = 1 / (contact.SigmaS * contact.SigmaS);
        return contact.Time.PlusSeconds((loading - contact.Time) * loadingWeight / (loadingWeight + contactWeight));
    }
}
