using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>A session as the index sees it.</summary>
/// <param name="Start">When it began.</param>
/// <param name="PeakForceBw">Mean peak ground reaction force of its jumps, body weights, above 0 to 30. Not a shank's shock: that is no force.</param>
/// <param name="Jumps">How many jumps.</param>
public sealed record OsteogenicSession(SampleTime Start, double PeakForceBw, int Jumps);

/// <summary>
/// Osteogenic index after Turner and Robling (Exerc Sport Sci Rev 2003, 31:45-50): what a session offers for the growth of bone. It describes a benefit that
/// grows ever more slowly with repetitions, and no risk. The formulas are from memory; a published weekly value agrees (Kishimoto and others 2012).
/// </summary>
public static class OsteogenicIndex
{
    /// <summary>Time constant of the recovery of bone's response, s (6 h).</summary>
    public const double RecoveryTimeS = 6 * 3600;

    /// <summary>What a screen must say beside the index.</summary>
    public const string Caveat =
        "The osteogenic index (Turner and Robling 2003) compares training plans by their offer to bone. It needs ground reaction forces, which these sensors do not measure, "
        + "and it is neither a load limit nor a risk. Training information, not medical advice.";

    /// <summary>Index of one session: intensity x ln(N + 1), body weights.</summary>
    /// <exception cref="ArgumentOutOfRangeException">What was found, what is allowed.</exception>
    public static double SessionBw(double peakForceBw, int jumps)
    {
        var list = new FaultList("");
        list.Number(peakForceBw, double.Epsilon, 30, nameof(peakForceBw));
        list.Number(jumps, 0, 100_000, nameof(jumps));
        return list.Faults.Count == 0
            ? peakForceBw * Math.Log(jumps + 1.0)
            : throw new ArgumentOutOfRangeException(list.Faults[0].Where, list.Faults[0].ToString());
    }

    /// <summary>Share of the response that has come back: 1 - exp(-t / 6 h), 0 to 1.</summary>
    /// <param name="elapsedS">Time since the session before, s; below 0 counts as 0.</param>
    public static double RecoveryShare(double elapsedS) => 1 - Math.Exp(-Math.Max(0, elapsedS) / RecoveryTimeS);

    /// <summary>Index of one day: the first session whole, each later one times what has recovered since the start of the one before.</summary>
    public static double DayBw(IEnumerable<OsteogenicSession> sessions)
    {
        ArgumentNullException.ThrowIfNull(sessions);
        var sum = 0.0;
        SampleTime? before = null;
        foreach (var session in sessions.OrderBy(session => session.Start))
        {
            var share = before is { } earlier ? RecoveryShare(session.Start - earlier) : 1;
            sum += share * SessionBw(session.PeakForceBw, session.Jumps);
            before = session.Start;
        }

        return sum;
    }

    /// <summary>Index of a week: the sum of its days.</summary>
    public static double WeekBw(IEnumerable<IEnumerable<OsteogenicSession>> days) => days.Sum(DayBw);
}
