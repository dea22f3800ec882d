using System.Text.Json;
using Saltograph.Board.Records;
using Saltograph.Comparison;
using Saltograph.Service.Results.Comparing;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Api;

/// <summary>One side of a comparison.</summary>
/// <param name="Jumps">Jumps in it.</param>
/// <param name="Athletes">Pseudonyms in it.</param>
/// <param name="IsCut">Whether more matched and only the newest count.</param>
internal sealed record ComparedSideBody(int Jumps, IReadOnlyList<string> Athletes, bool IsCut)
{
    /// <summary>Of a side.</summary>
    public static ComparedSideBody Of(ComparedSide side) =>
        new(side.Jumps.Count, [.. side.Jumps.Select(jump => jump.Row.Athlete).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)], side.IsCut);
}

/// <summary>One measure on both sides, in its unit.</summary>
/// <param name="Key">Key of the jump record, or <c>course.</c> and what was taken of the course.</param>
/// <param name="Unit">UCUM code.</param>
/// <param name="A">First side; null when not measured.</param>
/// <param name="B">Second side.</param>
/// <param name="Difference">Mean of B minus mean of A.</param>
/// <param name="IsBound">Whether the difference is "at least".</param>
/// <param name="StandardUncertainty">Of the difference.</param>
/// <param name="StandardUncertaintyFrom"><c>records</c> or <c>spread</c>.</param>
/// <param name="Interval95">Low and high end.</param>
/// <param name="Interval95From">Likewise.</param>
/// <param name="HedgesG">Effect size.</param>
/// <param name="DetectableChange">Smallest difference of these means that is more than scatter.</param>
/// <param name="DetectableChangeOfTwoJumps">Of two single jumps.</param>
/// <param name="DetectableChangeFrom">Likewise.</param>
/// <param name="Verdict">What can be told.</param>
internal sealed record ComparedMeasureBody(
    string Key,
    string Unit,
    GroupStatistics? A,
    GroupStatistics? B,
    double? Difference,
    bool IsBound,
    double? StandardUncertainty,
    string? StandardUncertaintyFrom,
    IReadOnlyList<double>? Interval95,
    string? Interval95From,
    double? HedgesG,
    double? DetectableChange,
    double? DetectableChangeOfTwoJumps,
    string? DetectableChangeFrom,
    string Verdict)
{
    /// <summary>Of a measure.</summary>
    public static ComparedMeasureBody Of(MeasureComparison found) => new(
        found.Measure.Key,
        found.Measure.Unit,
        found.A,
        found.B,
        found.Difference,
        found.IsBound,
        found.StandardUncertainty,
        From(found.StandardUncertaintyBasis),
        found.Interval95 is { } interval ? [interval.Low, interval.High] : null,
        From(found.IntervalBasis),
        found.HedgesG,
        found.DetectableChange,
        found.DetectableChangeOfTwoJumps,
        From(found.DetectableChangeBasis),
        JsonNamingPolicy.KebabCaseLower.ConvertName(found.Verdict.ToString()));

    private static string? From(UncertaintyBasis basis) => basis == UncertaintyBasis.None ? null : basis.Text();
}

/// <summary>A difference in words.</summary>
/// <param name="Measure">Key of the measure.</param>
/// <param name="Kind">Which words.</param>
/// <param name="Share">B over A as it is said; null for kinds without one.</param>
/// <param name="Text">The words, English.</param>
/// <param name="ChangeRatio">Difference in detectable changes; null when that is not known.</param>
internal sealed record RemarkBody(string Measure, string Kind, double? Share, string Text, double? ChangeRatio);

/// <summary>A quantity over the phases, with one number per node.</summary>
/// <param name="Key">Key of the course.</param>
/// <param name="Comparison">Means, standard deviations, difference, detectable change, and stretches beyond it.</param>
internal sealed record ComparedCourseBody(string Key, CurveComparison Comparison);

/// <summary>B against A.</summary>
/// <param name="Caution">What holds for all of it.</param>
/// <param name="A">First side.</param>
/// <param name="B">Second side.</param>
/// <param name="MixesAthletes">Whether a side holds jumps of several athletes: the intervals are then too narrow.</param>
/// <param name="MostDifferent">What differs beyond scatter, most of all first, of measures that tell the same thing one.</param>
/// <param name="Measures">Every measure.</param>
/// <param name="PhaseStarts">Nodes at which preparation, push-off, flight and absorption begin, and the last; empty without courses.</param>
/// <param name="Courses">Quantities that both sides have.</param>
internal sealed record ComparisonBody(
    string Caution,
    ComparedSideBody A,
    ComparedSideBody B,
    bool MixesAthletes,
    IReadOnlyList<RemarkBody> MostDifferent,
    IReadOnlyList<ComparedMeasureBody> Measures,
    IReadOnlyList<int> PhaseStarts,
    IReadOnlyList<ComparedCourseBody> Courses)
{
    /// <summary>Of a comparison.</summary>
    public static ComparisonBody Of(StoredComparison found) => new(
        Cautions.Line,
        ComparedSideBody.Of(found.A),
        ComparedSideBody.Of(found.B),
        found.Measures.MixesAthletes,
        [.. found.Remarks.Select(remark => new RemarkBody(remark.Difference.Measure.Key, JsonNamingPolicy.KebabCaseLower.ConvertName(remark.Kind.ToString()), remark.Share, remark.Text, remark.Difference.ChangeRatio))],
        [.. found.Measures.Measures.Select(ComparedMeasureBody.Of)],
        found.PhaseStarts,
        [.. found.Courses.Select(course => new ComparedCourseBody(course.Key, course.Comparison))]);
}
