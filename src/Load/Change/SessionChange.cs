using Saltograph.Imu;

namespace Saltograph.Load;

/// <summary>What may change while a gymnast tires.</summary>
public enum ChangeMeasure
{
    /// <summary>Height, m.</summary>
    Height,

    /// <summary>Contact before a leap of a series, s.</summary>
    ContactTime,

    /// <summary>Shock at the landing ankle, g.</summary>
    Shock,
}

/// <summary>Change of one measure of one element inside a session. Values are in the unit of the measure.</summary>
/// <param name="Athlete">Who.</param>
/// <param name="Element">What she jumped.</param>
/// <param name="Measure">What was measured.</param>
/// <param name="Jumps">How many jumps carry it.</param>
/// <param name="NeededChange">What the change must exceed to be shown: the larger of the minimal detectable change (95 per cent) and four standard errors of the difference of two medians, from the scatter between successive jumps; more for few jumps, whose scatter is less well known.</param>
/// <param name="Change">Median of the last third minus median of the first; null when not beyond that.</param>
/// <param name="ChangePercent">The same in per cent of the first third; null likewise.</param>
/// <param name="SlopePerJump">Theil-Sen slope over the running number of the jump; null likewise.</param>
public sealed record SessionChange(
    AthleteId Athlete,
    Element Element,
    ChangeMeasure Measure,
    int Jumps,
    double NeededChange,
    double? Change,
    double? ChangePercent,
    double? SlopePerJump)
{
    /// <summary>The change whether or not it counts: what has counted once is given up only well below.</summary>
    internal double Seen { get; private init; }

    /// <summary>All measures of all elements with enough jumps, of one session. Advice, never an alarm: other causes than fatigue change jumps too.</summary>
    /// <param name="jumps">Jumps of the session, in any order. Saturated shocks are left out.</param>
    /// <param name="options">Fewest jumps and errors.</param>
    public static IReadOnlyList<SessionChange> Of(IEnumerable<CountedJump> jumps, FatigueOptions options)
    {
        ArgumentNullException.ThrowIfNull(jumps);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        var elements = jumps.DistinctBy(jump => jump.Id, StringComparer.Ordinal)
            .OrderBy(jump => jump.Athlete.Value, StringComparer.Ordinal)
            .ThenBy(jump => jump.LandingTime)
            .GroupBy(jump => (jump.Athlete, jump.Element));
        return [.. from element in elements
                   from measure in Enum.GetValues<ChangeMeasure>()
                   let values = element.Select(jump => Value(jump, measure)).OfType<double>().ToArray()
                   where values.Length >= options.FewestJumps
                   select Judge(element.Key.Athlete, element.Key.Element, measure, values, options)];
    }

    internal static double? Value(CountedJump jump, ChangeMeasure measure) => measure switch
    {
        ChangeMeasure.Height => jump.HeightM,
        ChangeMeasure.ContactTime => jump.ContactTimeS,
        _ => jump.LandingShock is { Saturated: false } shock ? shock.ShockG : null,
    };

    private static SessionChange Judge(AthleteId athlete, Element element, ChangeMeasure measure, double[] values, FatigueOptions options)
    {
        var detectable = Reliability.MinimalDetectableChange(options.ErrorOf(measure));
        var third = values.Length / 3;
        var first = Robust.Median(values.Take(third));
        var change = Robust.Median(values.TakeLast(third)) - first;
        // Looked at after each of 15 to 60 jumps without a trend, four errors are passed in 1.2 per cent of such rows, most of them before the 20th; with the factor in 0.2, evenly (12000 rows of normal
        // values; 0.3 of log-normal ones).
        var error = Math.Sqrt(2.0) * Robust.MedianError(Robust.Scatter(values), third);
        var needed = Math.Max(detectable, Robust.Looks * Robust.FewFactor(values.Length) * error);
        if (!(Math.Abs(change) > needed))
        {
            return new(athlete, element, measure, values.Length, needed, null, null, null) { Seen = change };
        }

        var numbers = Enumerable.Range(0, values.Length).Select(number => (double)number).ToArray();
        return new(athlete, element, measure, values.Length, needed, change, first > 0 ? 100 * change / first : null, TheilSen.Slope(numbers, values)) { Seen = change };
    }
}

/// <summary>A session's symmetry index against the athlete's own earlier ones. Nobody is perfectly alike on both sides: only a change of her own counts.</summary>
/// <param name="BaselinePercent">Median of the earlier indices (SI), per cent.</param>
/// <param name="NeededPercent">What the change must exceed: the largest of the minimal detectable change, three robust deviations of the earlier indices, and four standard errors of this one, per cent.</param>
/// <param name="ChangePercent">Index now minus the median, percentage points; null when not beyond that.</param>
public sealed record AsymmetryChange(double BaselinePercent, double NeededPercent, double? ChangePercent)
{
    /// <summary>The change whether or not it counts.</summary>
    internal double SeenPercent { get; private init; }

    /// <summary>Judges a session; null with too few earlier ones.</summary>
    /// <param name="earlierPercent">Symmetry indices of earlier sessions, per cent.</param>
    /// <param name="nowPercent">Of this session, per cent.</param>
    /// <param name="options">Fewest sessions and error.</param>
    /// <param name="nowErrorPercent">Standard error of this session's index from the scatter of its landings, per cent.</param>
    public static AsymmetryChange? Of(IReadOnlyCollection<double> earlierPercent, double nowPercent, FatigueOptions options, double nowErrorPercent = 0)
    {
        ArgumentNullException.ThrowIfNull(earlierPercent);
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        if (earlierPercent.Count < options.FewestSessions)
        {
            return null;
        }

        var median = Robust.Median(earlierPercent);
        var needed = Math.Max(
            Reliability.MinimalDetectableChange(options.SymmetryErrorPercent),
            Math.Max(Robust.Looks * nowErrorPercent, 3 * Robust.NormalFactor * Robust.DeviationFrom(median, earlierPercent)));
        var change = nowPercent - median;
        return new(median, needed, Math.Abs(change) > needed ? change : null) { SeenPercent = change };
    }
}
