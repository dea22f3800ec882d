using Saltograph.Imu;

namespace Saltograph.Jumps;

/// <summary>When the floor begins to carry after a flight, from the force at the centre of mass.</summary>
/// <remarks>
/// A change point: free flight before, a load after. Levels that are passed will not do, because legs that come down leave
/// half a g in the air, and a soft or a one-legged landing swings below any level again 30 ms after contact. So the mean
/// force just after an instant is compared with the mean just before it; the first instant at which the step is as large as
/// a landing's lies on the loading flank, and the straight line through the flank meets the force of the flight at the contact.
/// </remarks>
internal static class LoadingEdge
{
    // Free flight before, carrying after, with the milliseconds left out in which the shock travels up to the trunk.
    private const double BeforeFromS = -0.025;
    private const double BeforeToS = -0.003;
    private const double AfterFromS = 0.002;
    private const double AfterToS = 0.016;

    // Any share from 0.4 to 0.7 gave the same landings on 884 simulated jumps. Half the largest step for soft ones.
    private const double StepShareOfG = 0.45;
    private const double LargestStepShare = 0.5;

    // From the contact until the floor carries the body again it carries this much on average; legs in the air soon take back what they gave.
    private const double SustainedShareOfG = 0.25;

    // The flank is followed back from the instant of the step, and the flight is what lies before it.
    private const double StepToFlankTopS = 0.030;
    private const double LongestFlankS = 0.060;
    private const double FlightFromS = -0.020;
    private const double FlightToS = -0.004;
    private const double LowShareOfG = 0.25;
    private const double HighShareOfG = 0.60;
    private const double MostCarriedShareOfG = 0.6;
    private const double MostPulledShareOfG = 0.05;

    private const double GridS = 0.001;
    private const double FineGridS = 0.0005;

    // Where the flight ends hangs on what it carries, and the other way round: three rounds settle it.
    private const int Passes = 3;

    /// <summary>The contact, looked for inside a stretch that begins in free flight and ends where the floor carries the body again.</summary>
    /// <returns>The instant, and how long the flank takes from 0.25 to 0.6 g.</returns>
    public static (SampleTime Contact, double FlankS) Find(
        CentreOfMass centre, LocalSignal forceMps2, SampleTime from, SampleTime to, double gravityMps2)
    {
        var step = Step(centre, from, to, gravityMps2);
        var flightMps2 = 0.0;
        var contact = step;
        var flankS = LongestFlankS;
        for (var pass = 0; pass < Passes; pass++)
        {
            var low = flightMps2 + (LowShareOfG * gravityMps2);
            var high = flightMps2 + (HighShareOfG * gravityMps2);
            var top = step.PlusSeconds(-FineGridS);
            while (top - step < StepToFlankTopS && forceMps2.At(top) < high)
            {
                top = top.PlusSeconds(FineGridS);
            }

            while (top - step > -LongestFlankS && forceMps2.At(top) >= high)
            {
                top = top.PlusSeconds(-FineGridS);
            }

            var start = top;
            while (top - start < LongestFlankS && forceMps2.At(start) >= low)
            {
                start = start.PlusSeconds(-FineGridS);
            }

            flankS = top - start;
            contact = start.PlusSeconds(-flankS * LowShareOfG / (HighShareOfG - LowShareOfG));
            flightMps2 = Math.Clamp(
                Median(forceMps2, contact.PlusSeconds(FlightFromS), contact.PlusSeconds(FlightToS)),
                -MostPulledShareOfG * gravityMps2,
                MostCarriedShareOfG * gravityMps2);
        }

        return (contact, flankS);
    }

    /// <summary>By how much the floor carries more after an instant than before it, m/s2; a force below zero counts as zero.</summary>
    private static double StepMps2(CentreOfMass centre, SampleTime time, double gravityMps2)
    {
        return Mean(AfterFromS, AfterToS) - Mean(BeforeFromS, BeforeToS);

        double Mean(double fromS, double toS) =>
            Math.Max(0, (centre.VelocityChangeMps(time.PlusSeconds(fromS), time.PlusSeconds(toS)) / (toS - fromS)) + gravityMps2);
    }

    private static SampleTime Step(CentreOfMass centre, SampleTime from, SampleTime to, double gravityMps2)
    {
        var count = Math.Max(1, (int)((to - from) / GridS) + 1);
        var steps = new double[count];
        var largest = 0;
        for (var i = 0; i < count; i++)
        {
            steps[i] = StepMps2(centre, from.PlusSeconds(i * GridS), gravityMps2);
            largest = steps[i] > steps[largest] ? i : largest;
        }

        var enough = Math.Min(StepShareOfG * gravityMps2, LargestStepShare * steps[largest]);
        for (var i = 0; i < largest; i++)
        {
            var time = from.PlusSeconds(i * GridS);
            if (steps[i] >= enough && steps[i] > steps[i + 1] && (i == 0 || steps[i] >= steps[i - 1])
                && centre.VelocityChangeMps(time, to) >= (SustainedShareOfG - 1) * gravityMps2 * (to - time))
            {
                return time;
            }
        }

        return from.PlusSeconds(largest * GridS);
    }

    private static double Median(LocalSignal force, SampleTime from, SampleTime to)
    {
        var values = new List<double>();
        for (var s = 0.0; s <= to - from; s += GridS)
        {
            values.Add(force.At(from.PlusSeconds(s)));
        }

        values.Sort();
        return values[values.Count / 2];
    }
}
