using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>Which of the transients at a shank around the landing is the contact.</summary>
/// <remarks>
/// There may be several: a leg that stops its swing just before the floor, the forefoot, the heel, the strap. The contact is
/// the one at which the floor begins to carry: before it the force at the centre of mass is that of free flight, from it
/// on it grows. Among those the first one counts; a later one is the heel.
/// </remarks>
internal static class LandingContact
{
    // Free flight before, carrying after, with the few milliseconds left out in which the shock travels up to the trunk.
    private const double BeforeFromS = -0.025;
    private const double BeforeToS = -0.003;
    private const double AfterFromS = 0.002;
    private const double AfterToS = 0.018;
    private const double LeastStepShareOfG = 0.3;

    // The first transient whose step is at least this share of the largest: the heel may carry more than the forefoot.
    private const double FirstStepShare = 0.3;

    // How far the contact lies from where the trunk puts the landing, 1 sigma, when no transient shows the step.
    private const double SpreadS = 0.012;

    /// <summary>The contact, or null when nothing sharp happens or there is no shank.</summary>
    public static ShankContact? Find(
        SampleTrack? shank, CentreOfMass centre, SampleTime from, SampleTime to, SampleTime trunkLanding, double gravityMps2)
    {
        if (shank is null)
        {
            return null;
        }

        var contacts = ShankContacts.In(shank, from, to);
        var steps = contacts.ConvertAll(contact => StepMps2(centre, contact.Time, gravityMps2));
        var largest = steps.Count == 0 ? 0 : steps.Max();
        if (largest >= LeastStepShareOfG * gravityMps2)
        {
            return contacts[steps.FindIndex(step => step >= FirstStepShare * largest)];
        }

        ShankContact? nearest = null;
        var bestScore = double.NegativeInfinity;
        foreach (var contact in contacts)
        {
            var offset = (contact.Time - trunkLanding) / SpreadS;
            var score = Math.Log(contact.JumpMps2) - Math.Log(1 + (offset * offset));
            if (score > bestScore)
            {
                bestScore = score;
                nearest = contact;
            }
        }

        return nearest;
    }

    /// <summary>By how much the floor carries more after an instant than before it, m/s2; a fall below zero counts as zero.</summary>
    private static double StepMps2(CentreOfMass centre, SampleTime time, double gravityMps2)
    {
        return Mean(AfterFromS, AfterToS) - Mean(BeforeFromS, BeforeToS);

        double Mean(double fromS, double toS) =>
            Math.Max(0, (centre.VelocityChangeMps(time.PlusSeconds(fromS), time.PlusSeconds(toS)) / (toS - fromS)) + gravityMps2);
    }
}
