using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using Saltograph.Board.Text;
using Saltograph.Load;
using Saltograph.Service.Tests.Api;

namespace Saltograph.Service.Tests.Reports;

/// <summary>Follows every number and time of a report to the HTTP interface that it cites, works out what is to be taken of the answer, and compares.</summary>
internal sealed partial class Citations(ApiHall hall, TimeZoneInfo zone)
{
    private readonly Dictionary<string, JsonElement> _answers = new(StringComparer.Ordinal);

    /// <summary>Numbers that were followed.</summary>
    public int Numbers { get; private set; }

    /// <summary>Words that were followed.</summary>
    public int Terms { get; private set; }

    /// <summary>Times that were followed.</summary>
    public int Times { get; private set; }

    public async Task CheckAsync(string page)
    {
        var body = XDocument.Parse(page[page.IndexOf("<body>", StringComparison.Ordinal)..(page.IndexOf("</body>", StringComparison.Ordinal) + 7)]).Root!;
        foreach (var element in body.Descendants().Where(element => element.Attribute("data-take") is not null))
        {
            var take = element.Attribute("data-take")!.Value;
            var from = element.AncestorsAndSelf().Select(each => each.Attribute("data-from")?.Value).FirstOrDefault(address => address is not null);
            Assert.True(from is not null, $"{element} says nowhere where it comes from");
            var answer = await AnswerAsync(from!);
            var where = $"{take} of {from}";
            switch (element.Name.LocalName)
            {
                case "data":
                    Number(element, Taken(answer, take), where);
                    Numbers++;
                    break;
                case "time":
                    Time(element, Pointed(answer, take).GetString()!, where);
                    Times++;
                    break;
                case "span":
                    Word(element, Pointed(answer, take).GetString()!, where);
                    Terms++;
                    break;
                default:
                    Assert.Equal(Pointed(answer, take).GetString(), element.Value);
                    break;
            }
        }

        NoOtherNumber(body);
    }

    private static void Number(XElement element, double expected, string where)
    {
        Assert.True(double.Parse(element.Attribute("value")!.Value, CultureInfo.InvariantCulture) == expected, $"{where}: the report has {element}, the interface {expected:R}");
        var factor = element.Attribute("data-factor") is { } given ? double.Parse(given.Value, CultureInfo.InvariantCulture) : 1;
        var shown = element.Value.Replace('\u2212', '-');
        var digits = shown.Contains('.', StringComparison.Ordinal) ? shown.Length - shown.IndexOf('.', StringComparison.Ordinal) - 1 : 0;
        Assert.True(
            Math.Abs(double.Parse(shown, CultureInfo.InvariantCulture) - (expected * factor)) <= (0.5 * Math.Pow(10, -digits)) + 1e-9, $"{where}: shown as {shown}, the interface has {expected:R} times {factor}");
    }

    private static void Word(XElement element, string expected, string where)
    {
        Assert.True(element.Attribute("data-word")?.Value == expected, $"{where}: the report has {element}, the interface {expected}");
        var texts = new Words();
        Assert.Contains(element.Value, texts.Keys.Where(key => key.EndsWith("." + expected, StringComparison.Ordinal)).Select(key => texts[key]), StringComparer.Ordinal);
    }

    private void Time(XElement element, string expected, string where)
    {
        Assert.Equal(expected, element.Attribute("datetime")!.Value);
        var local = TimeZoneInfo.ConvertTime(DateTimeOffset.Parse(expected, CultureInfo.InvariantCulture), zone);
        Assert.True(element.Value.EndsWith(local.ToString("HH:mm:ss", CultureInfo.InvariantCulture), StringComparison.Ordinal), $"{where}: shown as {element.Value}, in the hall it was {local:HH:mm:ss}");
    }

    // Digits outside citations stand in fixed texts, in the heading's days, or in settings.
    private static void NoOtherNumber(XElement body)
    {
        var texts = new Words();
        string[] cited = ["data", "time", "q", "blockquote", "svg", "h1"];
        var others = body.DescendantNodes().OfType<XText>()
            .Where(text => !text.Ancestors().Any(element => cited.Contains(element.Name.LocalName, StringComparer.Ordinal) || element.Attribute("class")?.Value is "setting" or "made"))
            .Select(text => text.Value.Trim())
            .Where(text => text.Any(char.IsDigit));
        var known = string.Join('\n', texts.Keys.Select(key => texts[key]).Append(AcuteToChronic.Caveat));
        Assert.All(others, text => Assert.Contains(text, known, StringComparison.Ordinal));
    }

    private async Task<JsonElement> AnswerAsync(string address)
    {
        if (!_answers.TryGetValue(address, out var answer))
        {
            answer = address.StartsWith("/api/v1/jumps?", StringComparison.Ordinal) ? await AllAsync(address) : await hall.GetAsync(address);
            _answers.Add(address, answer);
        }

        return answer;
    }

    private async Task<JsonElement> AllAsync(string address)
    {
        var all = new List<JsonElement>();
        for (var after = ""; ;)
        {
            var page = await hall.GetAsync($"{address}&limit=1000{after}");
            all.AddRange(page.GetProperty("jumps").EnumerateArray());
            if (page.GetProperty("next").GetString() is not { } next)
            {
                return JsonSerializer.SerializeToElement(all);
            }

            after = "&after=" + Uri.EscapeDataString(next);
        }
    }

    private static double Taken(JsonElement answer, string take)
    {
        var match = Take().Match(take);
        var pointer = match.Groups["pointer"].Value;
        switch (match.Groups["how"].Value)
        {
            case "count":
                return answer.GetArrayLength();
            case "hard":
                return answer.EnumerateArray().Count(jump => jump.GetProperty("landingClass").GetString() is "hard" or "saturated");
            case "missing":
                return answer.EnumerateArray().Count(jump => Find(jump, pointer) is not { ValueKind: JsonValueKind.Number });
            case "length":
                return Pointed(answer, pointer).GetArrayLength();
            case "sum":
                var border = pointer.LastIndexOf('/');
                return Pointed(answer, pointer[..border]).EnumerateArray().Sum(item => item.GetProperty(pointer[(border + 1)..]).GetDouble());
            case "median" or "max":
                var sorted = answer.EnumerateArray().Select(jump => Find(jump, pointer)).Where(found => found is { ValueKind: JsonValueKind.Number }).Select(found => found!.Value.GetDouble()).Order().ToList();
                return match.Groups["how"].Value == "max" ? sorted[^1] : (sorted[(sorted.Count - 1) / 2] + sorted[sorted.Count / 2]) / 2;
            default:
                return Pointed(answer, take).GetDouble();
        }
    }

    private static JsonElement Pointed(JsonElement from, string pointer) => Find(from, pointer) ?? throw new InvalidOperationException($"{pointer} is not in {from.GetRawText()[..Math.Min(300, from.GetRawText().Length)]}");

    private static JsonElement? Find(JsonElement from, string pointer)
    {
        foreach (var part in pointer.Split('/').Skip(1))
        {
            if (from.ValueKind == JsonValueKind.Array ? int.Parse(part, CultureInfo.InvariantCulture) >= from.GetArrayLength() : !from.TryGetProperty(part, out _))
            {
                return null;
            }

            from = from.ValueKind == JsonValueKind.Array ? from[int.Parse(part, CultureInfo.InvariantCulture)] : from.GetProperty(part);
        }

        return from;
    }

    [GeneratedRegex("^(?<how>[a-z]*):?(?<pointer>/.*)?$", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex Take();
}
