using System.Text.Json;
using Saltograph.Comparison;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Results.Comparing;

/// <summary>Reads the curves that <see cref="CurveLines"/> writes.</summary>
internal static class CurveFile
{
    /// <summary>Curves by key, one per jump that has it. A turn rate counts positive in the direction of the turn in the air.</summary>
    public static InputFault? Read(string path, out IReadOnlyDictionary<string, List<ComparedCurve>> curves)
    {
        var read = CurveQuantity.All.ToDictionary(quantity => quantity.Key, _ => new List<ComparedCurve>(), StringComparer.Ordinal);
        curves = read;
        try
        {
            var line = 0L;
            foreach (var text in File.ReadLines(path))
            {
                line++;
                if (!string.IsNullOrWhiteSpace(text) && ReadLine(path, line, text, read) is { } fault)
                {
                    return fault;
                }
            }

            return null;
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return new(path, problem.Message.TrimEnd('.'), "a readable file of curves, one JSON object per line");
        }
    }

    private static InputFault? ReadLine(string path, long line, string text, Dictionary<string, List<ComparedCurve>> curves)
    {
        JsonDocument document;
        try
        {
            document = JsonDocument.Parse(text);
        }
        catch (JsonException problem)
        {
            return new(path, $"text that is not JSON, at byte {problem.BytePositionInLine + 1}", "one JSON object per line", line);
        }

        using (document)
        {
            var root = document.RootElement;
            if (root.ValueKind != JsonValueKind.Object || !root.TryGetProperty("athlete", out var athlete) || athlete.ValueKind != JsonValueKind.String
                || !IdText.IsValid(athlete.GetString()))
            {
                return new(path, "no pseudonym", IdText.Allowed, line, "athlete");
            }

            foreach (var quantity in CurveQuantity.All)
            {
                if (Values(root, quantity.Key, out var values) is { } found)
                {
                    return new(path, found, $"{JumpCurves.NodeCount} numbers, or null when not measured", line, quantity.Key);
                }

                if (values is not null)
                {
                    curves[quantity.Key].Add(new(new(athlete.GetString()!), quantity.AlongTheTurn ? AlongTheTurn(values) : values));
                }
            }

            return null;
        }
    }

    private static string? Values(JsonElement root, string key, out double[]? values)
    {
        values = null;
        if (!root.TryGetProperty(key, out var list) || list.ValueKind == JsonValueKind.Null)
        {
            return null;
        }

        if (list.ValueKind != JsonValueKind.Array)
        {
            return "no list";
        }

        if (list.GetArrayLength() != JumpCurves.NodeCount)
        {
            return $"{list.GetArrayLength()} entries";
        }

        var numbers = new double[JumpCurves.NodeCount];
        var node = 0;
        foreach (var entry in list.EnumerateArray())
        {
            if (entry.ValueKind != JsonValueKind.Number || !entry.TryGetDouble(out numbers[node]) || !double.IsFinite(numbers[node]))
            {
                return $"{entry.GetRawText()} at place {node + 1}";
            }

            node++;
        }

        values = numbers;
        return null;
    }

    private static double[] AlongTheTurn(double[] rates) =>
        rates[JumpCurves.PhaseStarts[2]..JumpCurves.PhaseStarts[3]].Sum() < 0 ? [.. rates.Select(rate => -rate)] : rates;
}

/// <summary>A quantity with a course.</summary>
/// <param name="Key">Key in the file of curves.</param>
/// <param name="Name">What people call it.</param>
/// <param name="Unit">Unit.</param>
/// <param name="AlongTheTurn">Whether it counts positive in the direction of the turn in the air.</param>
internal sealed record CurveQuantity(string Key, string Name, string Unit, bool AlongTheTurn = false)
{
    public static IReadOnlyList<CurveQuantity> All { get; } =
    [
        new("accelerationUpMps2", "vertical acceleration", "m/s2"),
        new("velocityUpMps", "vertical velocity", "m/s"),
        new("turnRateDps", "turn rate", "deg/s", AlongTheTurn: true),
        new("splitAngleDeg", "split angle", "deg"),
        new("inclinationLeftDeg", "left shank", "deg"),
        new("inclinationRightDeg", "right shank", "deg"),
    ];
}
