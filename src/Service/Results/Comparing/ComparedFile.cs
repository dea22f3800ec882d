using Saltograph.Comparison;
using Saltograph.Jumps;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Results.Comparing;

/// <summary>A file of jump records as a group to compare.</summary>
/// <param name="Path">As the caller names it.</param>
/// <param name="Jumps">One or more.</param>
internal sealed record ComparedFile(string Path, IReadOnlyList<ComparedJump> Jumps)
{
    private const string ShockKey = "landingShockG.";

    // Of a shock at the rail neither the quotient with another nor the time of its peak is known.
    private static readonly string[] UnknownAtTheRail = ["shockAttenuationPercent", "shockRiseTimeS"];

    /// <summary>Reads a file; one without a jump is a fault, for there is nothing to compare.</summary>
    public static InputFault? Read(string path, out ComparedFile? file)
    {
        file = null;
        if (JumpRecordReader.Read(path, out var lines) is { } fault)
        {
            return fault;
        }

        if (lines.Count == 0)
        {
            return new(path, "no jump", "one jump record or more, one JSON object per line");
        }

        file = new(path, [.. lines.Select(Compared)]);
        return null;
    }

    /// <summary>The measures of a record. The word <c>saturated</c> does not say which sensor it was, so all its shocks are "at least".</summary>
    private static ComparedJump Compared(JumpLine line)
    {
        var saturated = line.Quality.Contains(QualityWords.Saturated, StringComparer.Ordinal);
        var values = new Dictionary<string, MeasuredValue>(StringComparer.Ordinal);
        foreach (var measure in Measures.All)
        {
            if (line.Values.TryGetValue(measure.Key, out var amount) && !(saturated && UnknownAtTheRail.Contains(measure.Key, StringComparer.Ordinal)))
            {
                double? uncertainty = line.Uncertainties.TryGetValue(measure.Key, out var stated) ? stated : null;
                values.Add(measure.Key, new(amount, uncertainty, saturated && measure.Key.StartsWith(ShockKey, StringComparison.Ordinal)));
            }
        }

        return new(line.Athlete, line.Number, values);
    }
}
