using Saltograph.Load;

namespace Saltograph.Service.Api;

/// <summary>One measure of one element inside a training. Values in the unit of the measure; what is not beyond <paramref name="NeededChange"/> is null, not small.</summary>
/// <param name="Form">Which feet left and landed; null when not known. With the next three it is the element: only the same is compared.</param>
/// <param name="LandingLeg">Leg that landed.</param>
/// <param name="Apparatus">Apparatus entered for the training.</param>
/// <param name="HalfTurns">Half turns in the air.</param>
/// <param name="Measure"><c>height</c>, <c>contact-time</c> (before a leap of a series) or <c>shock</c> (landing ankle, without saturated ones).</param>
/// <param name="Unit">UCUM code: <c>m</c>, <c>s</c> or <c>[g]</c>.</param>
/// <param name="Jumps">How many carry it.</param>
/// <param name="StandardError">Standard error of measurement as the rules of the hall state it.</param>
/// <param name="MinimalDetectableChange">1.96 sqrt(2) of it.</param>
/// <param name="NeededChange">What a change must exceed to be told: that, or four standard errors of the difference of two medians when the jumps scatter more, and up to seven of few jumps.</param>
/// <param name="Change">Median of the last third minus median of the first; null when not beyond.</param>
/// <param name="ChangePercent">The same in per cent of the first third.</param>
/// <param name="SlopePerJump">Median of the slopes of all pairs (Sen 1968), per jump of the element.</param>
internal sealed record ElementChangeBody(
    ElementForm? Form,
    Leg? LandingLeg,
    string? Apparatus,
    int? HalfTurns,
    ChangeMeasure Measure,
    string Unit,
    int Jumps,
    double StandardError,
    double MinimalDetectableChange,
    double NeededChange,
    double? Change,
    double? ChangePercent,
    double? SlopePerJump);

/// <summary>What changed inside a training.</summary>
/// <param name="Caution">What holds for all of it.</param>
/// <param name="Session">Id of the training.</param>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Jumps">Jumps of the training.</param>
/// <param name="FewestJumps">Fewest jumps of one element for it to be looked at.</param>
/// <param name="Changes">One line for each measure of each element with enough jumps.</param>
internal sealed record SessionChangeBody(string Caution, string Session, string Athlete, int Jumps, int FewestJumps, IReadOnlyList<ElementChangeBody> Changes);

/// <summary>Landing shock left against right in one training. Per cent.</summary>
/// <param name="Session">Id of the training.</param>
/// <param name="Opened">Its begin, RFC 3339.</param>
/// <param name="LeftLandings">Landings of the form on the left with a shock.</param>
/// <param name="RightLandings">On the right.</param>
/// <param name="SymmetryIndexPercent">2 (R - L) / (R + L) of the medians, positive when right is larger; null with too few landings on a side.</param>
/// <param name="LimbSymmetryPercent">Smaller over larger.</param>
/// <param name="AsymmetryPercent">(larger - smaller) / larger.</param>
/// <param name="EarlierTrainings">Earlier trainings that make her own baseline, at most 28.</param>
/// <param name="BaselinePercent">Median of their symmetry indices; null with too few of them.</param>
/// <param name="NeededPercent">What a change must exceed to be told: the largest of the minimal detectable change, three robust deviations of the earlier indices, and four standard errors of this one.</param>
/// <param name="ChangePercent">Index minus baseline, percentage points; null when not beyond.</param>
internal sealed record SymmetryBody(
    string Session,
    string Opened,
    int LeftLandings,
    int RightLandings,
    double? SymmetryIndexPercent,
    double? LimbSymmetryPercent,
    double? AsymmetryPercent,
    int EarlierTrainings,
    double? BaselinePercent,
    double? NeededPercent,
    double? ChangePercent);

/// <summary>An athlete's sides, training by training, against her own.</summary>
/// <param name="Caution">What holds for all of it.</param>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Form">Form whose landings are compared.</param>
/// <param name="FewestPerLeg">Fewest landings on each side for an index.</param>
/// <param name="FewestTrainings">Fewest earlier trainings for a baseline.</param>
/// <param name="StandardErrorPercent">Standard error of an index as the rules of the hall state it, per cent.</param>
/// <param name="MinimalDetectableChangePercent">1.96 sqrt(2) of it, percentage points.</param>
/// <param name="Trainings">Oldest first.</param>
internal sealed record SidesBody(
    string Caution,
    string Athlete,
    ElementForm Form,
    int FewestPerLeg,
    int FewestTrainings,
    double StandardErrorPercent,
    double MinimalDetectableChangePercent,
    IReadOnlyList<SymmetryBody> Trainings);

/// <summary>How well a measure repeats from training to training in this hall. Values in the unit of the measure.</summary>
/// <param name="Measure"><c>height</c>, <c>contact-time</c> or <c>shock</c>.</param>
/// <param name="Unit">UCUM code.</param>
/// <param name="Pairs">Pairs of trainings that follow each other within a week, of the same element of the same athlete.</param>
/// <param name="FewestPairs">With fewer nothing is worked out.</param>
/// <param name="Mean">Mean of the medians.</param>
/// <param name="Deviation">Standard deviation between athletes and elements.</param>
/// <param name="StandardError">Standard error of measurement from the pairs: deviation of the differences over sqrt(2) (Hopkins 2000).</param>
/// <param name="IntraclassCorrelation">Share of the deviation that is not error, 0 to 1; of this squad.</param>
/// <param name="MinimalDetectableChange">1.96 sqrt(2) of the standard error.</param>
/// <param name="StandardErrorInRules">Standard error that the rules in force use. Where the hall's own is larger, staff may want to enter it there.</param>
internal sealed record RepeatabilityBody(
    ChangeMeasure Measure,
    string Unit,
    int Pairs,
    int FewestPairs,
    double? Mean,
    double? Deviation,
    double? StandardError,
    double? IntraclassCorrelation,
    double? MinimalDetectableChange,
    double StandardErrorInRules);

/// <summary>Reliability of the measures in this hall.</summary>
/// <param name="Caution">What holds for all of it.</param>
/// <param name="From">Begin of the stretch, RFC 3339.</param>
/// <param name="Before">Its end.</param>
/// <param name="Athlete">Only hers; null for all.</param>
/// <param name="Form">Only this form; null for all.</param>
/// <param name="Trainings">Trainings with jumps in it.</param>
/// <param name="Measures">One line each.</param>
internal sealed record ReliabilityBody(string Caution, string From, string Before, string? Athlete, string? Form, int Trainings, IReadOnlyList<RepeatabilityBody> Measures);
