using Saltograph.Imu;

namespace Saltograph.Comparison;

/// <summary>Two jumps, or two groups of jumps, measure by measure.</summary>
/// <param name="CountA">Jumps in the first group.</param>
/// <param name="CountB">Jumps in the second group.</param>
/// <param name="AthletesA">Athletes in the first group.</param>
/// <param name="AthletesB">Athletes in the second group.</param>
/// <param name="Measures">Every measure of <see cref="Comparison.Measures.All"/>, in its order.</param>
/// <remarks>
/// Jumps count alike, whoever made them: where a group holds several athletes, jumps of one resemble each other and the interval after Welch
/// is too narrow (<see cref="MixesAthletes"/>). Each measure is judged by itself at 95 per cent, so of twenty that did not change one may seem to.
/// </remarks>
public sealed record JumpComparison(
    int CountA, int CountB, int AthletesA, int AthletesB, IReadOnlyList<MeasureComparison> Measures)
{
    // Scatter from fewer than three values of an athlete is hardly known: the deviation of two is off by more than half, usually.
    private const int LeastFreedom = 2;

    /// <summary>Whether one of the groups holds jumps of several athletes.</summary>
    public bool MixesAthletes => AthletesA > 1 || AthletesB > 1;

    /// <summary>What differs beyond the detectable change, most of all first.</summary>
    public IReadOnlyList<MeasureComparison> MostDifferent =>
        [.. Measures.Where(measure => measure.Words is not null).OrderByDescending(measure => measure.ChangeRatio ?? double.PositiveInfinity)];

    /// <summary>Compares B with A. Order within the groups does not matter; either may be empty.</summary>
    public static JumpComparison Of(IReadOnlyCollection<ComparedJump> a, IReadOnlyCollection<ComparedJump> b)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        return new(a.Count, b.Count, Athletes(a), Athletes(b), [.. Comparison.Measures.All.Select(measure => Compare(measure, a, b))]);
    }

    private static int Athletes(IEnumerable<ComparedJump> jumps) => jumps.Select(jump => jump.Athlete).Distinct().Count();

    private static MeasureComparison Compare(Measure measure, IReadOnlyCollection<ComparedJump> a, IReadOnlyCollection<ComparedJump> b)
    {
        var valuesA = Values(measure, a);
        var valuesB = Values(measure, b);
        var statisticsA = GroupStatistics.Of([.. valuesA.Select(each => each.Value)], a.Count - valuesA.Count);
        var statisticsB = GroupStatistics.Of([.. valuesB.Select(each => each.Value)], b.Count - valuesB.Count);
        if (statisticsA is null || statisticsB is null)
        {
            return new() { Measure = measure, A = statisticsA, B = statisticsB, Verdict = Verdict.NotMeasured };
        }

        var (standardError, basis) = StandardError(valuesA, valuesB);
        var compared = new MeasureComparison
        {
            Measure = measure,
            A = statisticsA,
            B = statisticsB,
            Difference = statisticsB.Mean - statisticsA.Mean,
            IsBound = statisticsA.AtLeast + statisticsB.AtLeast > 0,
            DetectableChange = standardError is { } sem ? DetectableChange.Of(sem, statisticsA.Count, statisticsB.Count) : null,
            DetectableChangeOfTwoJumps = standardError is { } single ? DetectableChange.Of(single) : null,
            DetectableChangeBasis = basis,
            Verdict = Verdict.TooFewJumps,
        };
        compared = compared.IsBound ? compared : WithCertainty(compared, statisticsA, statisticsB);
        return compared with { Verdict = Judge(compared, statisticsA, statisticsB) };
    }

    private static List<(AthleteId Athlete, MeasuredValue Value)> Values(Measure measure, IEnumerable<ComparedJump> jumps) =>
        [.. jumps.Select(jump => (jump.Athlete, Value: jump.Find(measure))).Where(each => each.Value is not null).Select(each => (each.Athlete, each.Value!.Value))];

    private static MeasureComparison WithCertainty(MeasureComparison compared, GroupStatistics a, GroupStatistics b)
    {
        var spread = MeanDifference.Of(a, b);
        double? stated = a.MeanUncertainty is { } ua && b.MeanUncertainty is { } ub ? Math.Sqrt((ua * ua) + (ub * ub)) : null;
        double? half = stated is { } u ? DetectableChange.Of(u) / Math.Sqrt(2) : null;
        return compared with
        {
            StandardUncertainty = stated ?? spread?.StandardError,
            StandardUncertaintyBasis = Basis(stated is not null, spread is not null),
            Interval95 = spread?.Interval95 ?? (half is { } h ? new(compared.Difference!.Value - h, compared.Difference.Value + h) : null),
            IntervalBasis = spread is not null ? UncertaintyBasis.Spread : Basis(stated is not null, hasSpread: false),
            HedgesG = EffectSize.HedgesG(a, b),
        };
    }

    private static UncertaintyBasis Basis(bool hasStated, bool hasSpread) =>
        hasStated ? UncertaintyBasis.Records : hasSpread ? UncertaintyBasis.Spread : UncertaintyBasis.None;

    /// <summary>Of one value: from repeated jumps of the same athletes, or from what the records state. Values at the rail show no scatter.</summary>
    private static (double? Value, UncertaintyBasis Basis) StandardError(
        List<(AthleteId Athlete, MeasuredValue Value)> a, List<(AthleteId Athlete, MeasuredValue Value)> b)
    {
        var repeated = Repeated(a).Concat(Repeated(b)).ToList();
        if (repeated.Sum(values => Math.Max(0, values.Count - 1)) >= LeastFreedom)
        {
            return (DetectableChange.WithinAthletes(repeated), UncertaintyBasis.Spread);
        }

        var all = a.Concat(b).Select(each => each.Value.StandardUncertainty).ToList();
        return all.TrueForAll(uncertainty => uncertainty is not null)
            ? (Math.Sqrt(all.Average(uncertainty => uncertainty!.Value * uncertainty.Value)), UncertaintyBasis.Records)
            : (null, UncertaintyBasis.None);
    }

    private static IEnumerable<IReadOnlyCollection<double>> Repeated(List<(AthleteId Athlete, MeasuredValue Value)> values) => values
        .Where(each => !each.Value.IsAtLeast)
        .GroupBy(each => each.Athlete, (_, own) => (IReadOnlyCollection<double>)[.. own.Select(each => each.Value.Amount)]);

    private static Verdict Judge(MeasureComparison compared, GroupStatistics a, GroupStatistics b)
    {
        var difference = compared.Difference!.Value;
        if (compared.IsBound)
        {
            // A bound on the larger side leaves the direction standing. How far the values beyond the rail scatter is not
            // known, so the difference must be more than two single jumps can differ by.
            var stands = difference > 0 ? a.AtLeast == 0 : b.AtLeast == 0;
            return stands && Math.Abs(difference) > compared.DetectableChangeOfTwoJumps ? Direction(difference) : Verdict.AtTheRail;
        }

        return compared.DetectableChange is not { } change
            ? Verdict.TooFewJumps
            : Math.Abs(difference) > change && compared.Interval95?.Holds(0) != true
                ? Direction(difference)
                : Verdict.NoChangeCanBeTold;
    }

    private static Verdict Direction(double difference) => difference > 0 ? Verdict.Larger : Verdict.Smaller;
}
