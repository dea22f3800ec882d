using System.Text.Json;
using System.Text.Json.Nodes;
using Saltograph.Comparison;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Results.Comparing;

/// <summary>A comparison as one JSON object; null where not measured or not known.</summary>
internal static class ComparisonJson
{
    private const int Digits = 6;
    private static readonly JsonSerializerOptions Indented = new() { WriteIndented = true, NewLine = "\n" };

    /// <summary>The text, ending in a line feed.</summary>
    public static string Text(ComparedFile a, ComparedFile b, JumpComparison comparison, ComparedCurves curves) => new JsonObject
    {
        ["a"] = new JsonObject { ["file"] = Path.GetFileName(a.Path), ["jumps"] = comparison.CountA, ["athletes"] = comparison.AthletesA },
        ["b"] = new JsonObject { ["file"] = Path.GetFileName(b.Path), ["jumps"] = comparison.CountB, ["athletes"] = comparison.AthletesB },
        ["mixesAthletes"] = comparison.MixesAthletes,
        ["measures"] = new JsonArray([.. comparison.Measures.Select(Of)]),
        ["mostDifferent"] = new JsonArray([.. comparison.MostDifferent.Select(compared => (JsonNode)compared.Sentence())]),
        ["curves"] = curves.Json(),
        ["caution"] = Cautions.Line,
    }.ToJsonString(Indented) + "\n";

    private static JsonNode Of(MeasureComparison compared) => new JsonObject
    {
        ["key"] = compared.Measure.Key,
        ["unit"] = compared.Measure.Unit,
        ["a"] = Of(compared.A),
        ["b"] = Of(compared.B),
        ["difference"] = Number(compared.Difference),
        ["isBound"] = compared.IsBound,
        ["standardUncertainty"] = Number(compared.StandardUncertainty),
        ["standardUncertaintyFrom"] = Word(compared.StandardUncertaintyBasis),
        ["interval95"] = compared.Interval95 is { } interval ? new JsonArray(Number(interval.Low), Number(interval.High)) : null,
        ["interval95From"] = Word(compared.IntervalBasis),
        ["hedgesG"] = Number(compared.HedgesG),
        ["detectableChange"] = Number(compared.DetectableChange),
        ["detectableChangeOfTwoJumps"] = Number(compared.DetectableChangeOfTwoJumps),
        ["detectableChangeFrom"] = Word(compared.DetectableChangeBasis),
        ["verdict"] = compared.Verdict.Text(),
        ["words"] = compared.Words,
    };

    private static JsonObject? Of(GroupStatistics? group) => group is null ? null : new JsonObject
    {
        ["n"] = group.Count,
        ["missing"] = group.Missing,
        ["atLeast"] = group.AtLeast,
        ["mean"] = Number(group.Mean),
        ["standardDeviation"] = Number(group.StandardDeviation),
        ["median"] = Number(group.Median),
    };

    private static JsonValue? Number(double? value) => value is { } number ? JsonValue.Create(Math.Round(number, Digits)) : null;

    private static JsonValue? Word(UncertaintyBasis basis) => basis == UncertaintyBasis.None ? null : JsonValue.Create(basis.Text());
}
