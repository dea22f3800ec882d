using System.Text.Json;
using Saltograph.Imu;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Results;

/// <summary>One line of a file of jump records, checked.</summary>
/// <param name="Line">Line in the file, from 1.</param>
/// <param name="Athlete">Pseudonym.</param>
/// <param name="Number">Running number in the session.</param>
/// <param name="TakeoffS">Last contact, s on the time base of the file.</param>
/// <param name="LandingS">First contact, s.</param>
/// <param name="Form">Word of the form, null when not known.</param>
/// <param name="LandingFoot">Word of the foot of first contact, null when not known.</param>
/// <param name="Grade">Letter of the grade, null when there is none (truth of a simulation).</param>
/// <param name="Quality">What is said against the record.</param>
/// <param name="Values">Every number of the record by its key; those of an object behind a dot (<c>landingShockG.trunk</c>). What is null is not in it.</param>
/// <param name="Uncertainties">The same of <c>uncertainty</c>.</param>
internal sealed record JumpLine(
    long Line,
    AthleteId Athlete,
    int Number,
    double TakeoffS,
    double LandingS,
    string? Form,
    string? LandingFoot,
    string? Grade,
    IReadOnlyList<string> Quality,
    IReadOnlyDictionary<string, double> Values,
    IReadOnlyDictionary<string, double> Uncertainties);

/// <summary>
/// Reads jump records as JSON Lines: one object per line; blank lines are passed over, keys that are not known ignored, keys that are missing taken as
/// not measured. The first thing that is wrong ends the reading.
/// </summary>
internal static class JumpRecordReader
{
    private const string ANumber = "a finite number";
    private static readonly string[] NeverNull = ["takeoffS", "peakS", "landingS", "flightTimeS", "heightM"];

    private static readonly string[] Numbers =
    [
        .. NeverNull, "secondFootLagS", "heightFlightTimeM", "heightTakeoffVelocityM", "trunkRiseM", "takeoffVelocityMps", "pushOffTimeS", "crouchDepthM",
        "turnPreparationDeg", "turnFlightDeg", "turnRecoveryDeg", "turnRateTakeoffDps", "turnRateTopDps", "turnRatePeakDps", "inertiaGrowth", "splitAngleDeg",
        "splitAngleAtPeakDeg", "splitHoldFraction", "shockAttenuationPercent", "shockRiseTimeS", "absorptionTimeS", "absorptionDepthM",
    ];

    private static readonly (string Key, string[] Inner)[] Objects =
    [
        ("landingShockG", ["trunk", "ankleLeft", "ankleRight"]),
        ("series", ["id", "position", "contactTimeS"]),
    ];

    /// <summary>Reads a file.</summary>
    /// <param name="path">As the caller names it.</param>
    /// <param name="jumps">The records; those before the fault when there is one.</param>
    /// <returns>What is wrong, or null.</returns>
    public static InputFault? Read(string path, out IReadOnlyList<JumpLine> jumps)
    {
        try
        {
            using var file = File.OpenText(path);
            return Read(file, path, out jumps);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            jumps = [];
            return new(path, problem.Message.TrimEnd('.'), "a readable file of jump records, one JSON object per line");
        }
    }

    /// <summary>Reads an open text.</summary>
    /// <param name="text">All lines.</param>
    /// <param name="name">What a fault calls it.</param>
    /// <param name="jumps">The records; those before the fault when there is one.</param>
    public static InputFault? Read(TextReader text, string name, out IReadOnlyList<JumpLine> jumps)
    {
        var read = new List<JumpLine>();
        jumps = read;
        for (var line = 1L; text.ReadLine() is { } content; line++)
        {
            if (!string.IsNullOrWhiteSpace(content) && ReadLine(name, line, content, read) is { } fault)
            {
                return fault;
            }
        }

        return null;
    }

    private static InputFault? ReadLine(string path, long line, string text, List<JumpLine> jumps)
    {
        try
        {
            using var document = JsonDocument.Parse(text);
            var fields = new Fields(path, line, document.RootElement);
            if (document.RootElement.ValueKind != JsonValueKind.Object)
            {
                return fields.Fault(null, document.RootElement, "a JSON object");
            }

            if (fields.Read(out var jump) is { } fault)
            {
                return fault;
            }

            jumps.Add(jump!);
            return null;
        }
        catch (JsonException problem)
        {
            return new(path, $"text that is not JSON, at byte {problem.BytePositionInLine + 1}", "one JSON object per line", line);
        }
    }

    /// <summary>The keys of one line.</summary>
    private sealed class Fields(string path, long line, JsonElement record)
    {
        private readonly Dictionary<string, double> _values = new(StringComparer.Ordinal);
        private readonly Dictionary<string, double> _uncertainties = new(StringComparer.Ordinal);

        public InputFault? Read(out JumpLine? jump)
        {
            jump = null;
            var athlete = Find(record, "athlete");
            if (athlete is not { ValueKind: JsonValueKind.String } || !IdText.IsValid(athlete.Value.GetString()))
            {
                return Fault("athlete", athlete, IdText.Allowed);
            }

            var found = Find(record, "number");
            if (found is not { ValueKind: JsonValueKind.Number } || !found.Value.TryGetInt32(out var number))
            {
                return Fault("number", found, "a whole number");
            }

            if (ReadNumbers(record, "", _values) is { } wrong)
            {
                return wrong;
            }

            if (NeverNull.FirstOrDefault(key => !_values.ContainsKey(key)) is { } missing)
            {
                return Fault(missing, Find(record, missing), ANumber);
            }

            if (!(_values["landingS"] > _values["takeoffS"]) || !(_values["flightTimeS"] > 0))
            {
                return Fault("landingS", Find(record, "landingS"), "a time after takeoffS, with a positive flightTimeS");
            }

            if (ReadUncertainties() is { } unsure)
            {
                return unsure;
            }

            if (ReadWords(out var quality) is { } word)
            {
                return word;
            }

            jump = new(
                line, new(athlete.Value.GetString()!), number, _values["takeoffS"], _values["landingS"], Text("form"), Text("landingFoot"), Text("grade"), quality, _values, _uncertainties);
            return null;
        }

        public InputFault Fault(string? key, JsonElement? found, string allowed)
        {
            const int LongestShown = 40;
            var text = found is { } element ? element.GetRawText() : "nothing";
            return new(path, text.Length > LongestShown ? text[..LongestShown] + "..." : text, allowed, line, key);
        }

        private InputFault? ReadNumbers(JsonElement from, string under, Dictionary<string, double> into)
        {
            foreach (var key in Numbers)
            {
                if (Number(from, key, under + key, key, into) is { } fault)
                {
                    return fault;
                }
            }

            foreach (var (key, inner) in Objects)
            {
                var found = Find(from, key);
                if (found is null or { ValueKind: JsonValueKind.Null })
                {
                    continue;
                }

                if (found.Value.ValueKind != JsonValueKind.Object)
                {
                    return Fault(under + key, found, "an object, or null");
                }

                foreach (var name in inner)
                {
                    if (Number(found.Value, name, $"{under}{key}.{name}", $"{key}.{name}", into) is { } fault)
                    {
                        return fault;
                    }
                }
            }

            return null;
        }

        private InputFault? Number(JsonElement from, string key, string shown, string name, Dictionary<string, double> into)
        {
            var found = Find(from, key);
            if (found is null or { ValueKind: JsonValueKind.Null })
            {
                return null;
            }

            if (found.Value.ValueKind != JsonValueKind.Number || !found.Value.TryGetDouble(out var number) || !double.IsFinite(number))
            {
                return Fault(shown, found, ANumber + ", or null when not measured");
            }

            into.Add(name, number);
            return null;
        }

        private InputFault? ReadUncertainties()
        {
            var found = Find(record, "uncertainty");
            if (found is null or { ValueKind: JsonValueKind.Null })
            {
                return null;
            }

            if (found.Value.ValueKind != JsonValueKind.Object)
            {
                return Fault("uncertainty", found, "an object, or null");
            }

            if (ReadNumbers(found.Value, "uncertainty.", _uncertainties) is { } fault)
            {
                return fault;
            }

            return _uncertainties.FirstOrDefault(pair => pair.Value < 0) is { Key: { } negative }
                ? Fault("uncertainty." + negative, JsonElement.Parse(_uncertainties[negative].ToString(System.Globalization.CultureInfo.InvariantCulture)), "0 or more")
                : null;
        }

        private InputFault? ReadWords(out string[] words)
        {
            words = [];
            var found = Find(record, "quality");
            if (found is null or { ValueKind: JsonValueKind.Null })
            {
                return null;
            }

            if (found.Value.ValueKind != JsonValueKind.Array || found.Value.EnumerateArray().Any(word => word.ValueKind != JsonValueKind.String))
            {
                return Fault("quality", found, "a list of words");
            }

            words = [.. found.Value.EnumerateArray().Select(word => word.GetString()!)];
            return null;
        }

        private string? Text(string key) => Find(record, key) is { ValueKind: JsonValueKind.String } text ? text.GetString() : null;

        private static JsonElement? Find(JsonElement from, string key) => from.TryGetProperty(key, out var found) ? found : null;
    }
}
