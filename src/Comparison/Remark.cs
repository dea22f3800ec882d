using System.Globalization;

namespace Saltograph.Comparison;

/// <summary>Which words a difference gets.</summary>
public enum RemarkKind
{
    /// <summary>The words of the measure.</summary>
    Plain,

    /// <summary>B still turns fast when she takes off, A does not.</summary>
    TurnStillOn,

    /// <summary>A still turns fast when she takes off, B does not.</summary>
    TurnOver,

    /// <summary>B's legs are half open before take-off.</summary>
    LegsOpenBefore,

    /// <summary>B's legs are half open after take-off.</summary>
    LegsOpenAfter,

    /// <summary>B takes a share of A's time, or some times as long.</summary>
    TimeShare,

    /// <summary>B feels a share of A's shock, or some times as much.</summary>
    ShockShare,
}

/// <summary>A difference in words that a coach would use.</summary>
/// <param name="Kind">Which words.</param>
/// <param name="Difference">What they are about; its verdict is larger or smaller.</param>
/// <param name="Share">B over A, rounded as it is said, such as 0.5 for half; null for kinds without one.</param>
/// <param name="Text">The words, English.</param>
public sealed record Remark(RemarkKind Kind, MeasureComparison Difference, double? Share, string Text)
{
    // Faster than a slow pivot: a quarter of a turn in a second. Common practice, no source.
    private const double StillTurningDps = 90;
    private const double RoomForWords = 0.07;

    // A share so near one says less than "longer" or "harder".
    private const double NearOne = 0.15;

    private static readonly (double Share, string Words)[] Shares =
    [
        (0.25, "a quarter of"), (1 / 3.0, "a third of"), (0.5, "half"), (2 / 3.0, "two thirds of"), (0.75, "three quarters of"), (1.5, "one and a half times"), (2, "twice"), (3, "three times"),
    ];

    private static readonly Dictionary<string, string> Doing = new(StringComparer.Ordinal)
    {
        ["absorptionTimeS"] = "absorbs",
        ["pushOffTimeS"] = "pushes off",
        ["shockRiseTimeS"] = "the shock rises",
        ["series.contactTimeS"] = "stays on the floor between jumps",
        ["landingShockG.trunk"] = "at the trunk",
        ["landingShockG.ankleLeft"] = "at the left ankle",
        ["landingShockG.ankleRight"] = "at the right ankle",
    };

    // Several measures tell the same thing; the one that differs most speaks for them.
    private static readonly string[][] Families =
    [
        ["flightTimeS", "heightM", "heightFlightTimeM", "heightTakeoffVelocityM", "trunkRiseM", "takeoffVelocityMps"],
        ["turnFlightDeg", "turnRateTopDps", "turnRatePeakDps"],
        ["splitAngleDeg", "splitAngleAtPeakDeg"],
    ];

    /// <summary>What differs, most of all first; of measures that tell the same thing one. Empty when no change can be told.</summary>
    public static IReadOnlyList<Remark> Of(JumpComparison comparison)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        return [.. comparison.MostDifferent.DistinctBy(found => Array.Find(Families, family => family.Contains(found.Measure.Key, StringComparer.Ordinal))?[0] ?? found.Measure.Key, StringComparer.Ordinal).Select(Of)];
    }

    private static Remark Of(MeasureComparison found)
    {
        var (a, b) = (found.A!.Mean, found.B!.Mean);
        switch (found.Measure.Key)
        {
            case "turnRateTakeoffDps" when b >= StillTurningDps && a < b / 2:
                return new(RemarkKind.TurnStillOn, found, null, Invariant($"turn still on at take-off: {b:0} deg/s against {a:0}"));
            case "turnRateTakeoffDps" when a >= StillTurningDps && b < a / 2:
                return new(RemarkKind.TurnOver, found, null, Invariant($"turn over at take-off: {b:0} deg/s against {a:0}"));
            case CourseTiming.LegsOpenKey:
                return new(b < 0 ? RemarkKind.LegsOpenBefore : RemarkKind.LegsOpenAfter, found, null, Invariant($"legs open {Instant(b)} take-off, against {Instant(a)}"));
            case var key when Doing.TryGetValue(key, out var doing) && a > 0 && b > 0 && !found.IsBound && Math.Abs((b / a) - 1) > NearOne:
                var isTime = found.Measure.Unit == "s";
                var (share, words) = Said(b / a);
                return new(
                    isTime ? RemarkKind.TimeShare : RemarkKind.ShockShare,
                    found,
                    share,
                    isTime ? $"{doing} in {words} the time" : $"lands with {words} the shock {doing}");
            default:
                return new(RemarkKind.Plain, found, null, found.Words!);
        }
    }

    // A common fraction when it is near one, else per cent.
    private static (double Share, string Words) Said(double share)
    {
        foreach (var (common, words) in Shares)
        {
            if (Math.Abs((share / common) - 1) <= RoomForWords)
            {
                return (common, words);
            }
        }

        var rounded = Math.Round(share, 2);
        return (rounded, Invariant($"{100 * rounded:0} per cent of"));
    }

    private static string Instant(double timeS) => Invariant($"{Math.Abs(timeS) * 1000:0} ms {(timeS < 0 ? "before" : "after")}");

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
