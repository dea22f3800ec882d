using System.Globalization;
using System.Text.Json.Nodes;
using Saltograph.Comparison;
using Saltograph.Jumps;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Results.Comparing;

/// <summary>The curves of two files, quantity by quantity.</summary>
/// <param name="Found">Those that both files have.</param>
internal sealed record ComparedCurves(IReadOnlyList<(CurveQuantity Quantity, CurveComparison Comparison)> Found)
{
    public const string ByNode =
        "Curves are laid on the phases of the jump. Each place is judged by itself at 95 per cent; stretches shorter than four places are not told.";

    private const int Digits = 4;
    private static readonly string[] Phases = ["preparation", "push-off", "flight", "absorption"];

    /// <summary>Nothing to show.</summary>
    public static ComparedCurves None { get; } = new([]);

    /// <summary>Reads both files and compares.</summary>
    public static InputFault? Read(string pathA, string pathB, out ComparedCurves curves)
    {
        curves = None;
        IReadOnlyDictionary<string, List<ComparedCurve>>? b = null;
        if ((CurveFile.Read(pathA, out var a) ?? CurveFile.Read(pathB, out b)) is { } fault)
        {
            return fault;
        }

        var found = new List<(CurveQuantity, CurveComparison)>();
        foreach (var quantity in CurveQuantity.All)
        {
            if (CurveComparison.Of(a[quantity.Key], b![quantity.Key]) is { } comparison)
            {
                found.Add((quantity, comparison));
            }
        }

        curves = new(found);
        return null;
    }

    /// <summary>Where they differ, in words.</summary>
    public IEnumerable<string> Sentences() =>
        from each in Found
        from stretch in each.Comparison.Stretches
        select string.Create(
            CultureInfo.InvariantCulture,
            $"{each.Quantity.Name}: {(stretch.Largest > 0 ? "more" : "less")} from {Place(stretch.First)} to {Place(stretch.Last)}, at most {stretch.Largest:+0.0;-0.0} {each.Quantity.Unit}");

    /// <summary>As a list for the file.</summary>
    public JsonArray Json() => new([.. Found.Select(each => (JsonNode)new JsonObject
    {
        ["key"] = each.Quantity.Key,
        ["unit"] = each.Quantity.Unit,
        ["phaseStarts"] = new JsonArray([.. JumpCurves.PhaseStarts.Select(node => (JsonNode)node)]),
        ["countA"] = each.Comparison.CountA,
        ["countB"] = each.Comparison.CountB,
        ["meanA"] = List(each.Comparison.MeanA),
        ["standardDeviationA"] = List(each.Comparison.DeviationA),
        ["meanB"] = List(each.Comparison.MeanB),
        ["standardDeviationB"] = List(each.Comparison.DeviationB),
        ["difference"] = List(each.Comparison.Difference),
        ["detectableChange"] = List(each.Comparison.DetectableChange),
        ["stretches"] = new JsonArray([.. each.Comparison.Stretches.Select(stretch => (JsonNode)new JsonObject
        {
            ["firstNode"] = stretch.First,
            ["lastNode"] = stretch.Last,
            ["largest"] = Math.Round(stretch.Largest, Digits),
        })]),
    })]);

    private static JsonArray? List(IReadOnlyList<double>? values) =>
        values is null ? null : new([.. values.Select(value => (JsonNode)Math.Round(value, Digits))]);

    private static string Place(int node)
    {
        var phase = JumpCurves.PhaseOf(node);
        var number = Math.Min((int)phase, Phases.Length - 1);
        return string.Create(CultureInfo.InvariantCulture, $"{Phases[number]} {100 * (phase - number):0} %");
    }
}
