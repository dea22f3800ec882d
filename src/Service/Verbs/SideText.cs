using Saltograph.Board.Records;
using Saltograph.Imu;
using Saltograph.Service.Api;

namespace Saltograph.Service.Verbs;

/// <summary>One side of a comparison as an argument: pairs <c>key=value</c> with commas between.</summary>
internal static class SideText
{
    /// <summary>What is allowed.</summary>
    public const string Allowed = "pairs with commas between, each key once: jump=ID, or some of athlete=ID, form=leap|hop|jump|assemble|sissonne, session=ID, from=yyyy-MM-dd, to=yyyy-MM-dd";

    private static readonly string[] Forms = ["leap", "hop", "jump", "assemble", "sissonne"];

    private static readonly Dictionary<string, Func<string, bool>> Keys = new(StringComparer.Ordinal)
    {
        ["jump"] = value => value.Length > 0,
        ["athlete"] = IdText.IsValid,
        ["form"] = value => Forms.Contains(value, StringComparer.Ordinal),
        ["session"] = value => value.Length > 0,
        ["from"] = QueryReader.IsDay,
        ["to"] = QueryReader.IsDay,
    };

    /// <summary>Whether a text is a side.</summary>
    public static bool IsValid(string text)
    {
        var pairs = Pairs(text);
        return pairs.TrueForAll(pair => Keys.TryGetValue(pair.Key, out var isAllowed) && isAllowed(pair.Value))
            && pairs.DistinctBy(pair => pair.Key, StringComparer.Ordinal).Count() == pairs.Count
            && (pairs.Count == 1 || pairs.TrueForAll(pair => pair.Key != "jump"));
    }

    /// <summary>Reads a side that is one.</summary>
    /// <param name="text">The argument.</param>
    /// <param name="beginsUs">Midnight at which a day of the hall begins.</param>
    public static JumpChoice Read(string text, Func<DateOnly, long> beginsUs)
    {
        var pairs = Pairs(text).ToDictionary(pair => pair.Key, pair => pair.Value, StringComparer.Ordinal);
        return new()
        {
            Jump = pairs.GetValueOrDefault("jump"),
            Athlete = pairs.GetValueOrDefault("athlete"),
            Form = pairs.GetValueOrDefault("form"),
            Session = pairs.GetValueOrDefault("session"),
            FromUs = pairs.TryGetValue("from", out var first) ? beginsUs(LoadDays.Day(first)) : null,
            BeforeUs = pairs.TryGetValue("to", out var last) ? beginsUs(LoadDays.Day(last).AddDays(1)) : null,
        };
    }

    private static List<(string Key, string Value)> Pairs(string text) =>
        [.. text.Split(',').Select(pair => pair.Split('=', 2)).Select(pair => (pair[0], pair.Length == 2 ? pair[1] : ""))];
}
