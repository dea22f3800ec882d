using System.Globalization;
using Saltograph.Board.Records;
using Saltograph.Board.Text;
using Saltograph.Imu;
using Saltograph.Service.Results;
using Saltograph.Wire;

namespace Saltograph.Service.Reports;

/// <summary>
/// Numbers and times of a report as elements that say where they come from: <c>data-from</c>, on the element or around it, is an address of the HTTP interface, <c>data-take</c> what to
/// take of its answer, <c>value</c> the number as that gives it, the text the number as people read it (times <c>data-factor</c>). So a reader, or a test, can check each of them.
/// </summary>
/// <remarks>
/// What to take is a JSON pointer (RFC 6901), or of a list of jumps <c>count</c>, <c>median:</c>, <c>max:</c> or <c>mean:</c> with a pointer into a jump; those without the value take no part.
/// </remarks>
internal static class Cited
{
    /// <summary>The attribute that says where numbers come from.</summary>
    public static string From(string address) => $" data-from=\"{HtmlPage.Safe(address)}\"";

    /// <summary>A number.</summary>
    /// <param name="value">As the interface gives it.</param>
    /// <param name="take">What to take of the answer.</param>
    /// <param name="shown">As people read it.</param>
    /// <param name="factor">Shown unit over the interface's.</param>
    /// <param name="from">Attribute of <see cref="From"/>; empty when an element around it has one.</param>
    public static string Number(double value, string take, string shown, double factor = 1, string from = "")
    {
        var scaled = factor == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $" data-factor=\"{factor}\"");
        return string.Create(CultureInfo.InvariantCulture, $"<data value=\"{value:R}\" data-take=\"{HtmlPage.Safe(take)}\"{scaled}{from}>{HtmlPage.Safe(shown)}</data>");
    }

    /// <summary>A count.</summary>
    public static string Count(long value, string take, string from = "") => Number(value, take, value.ToString(CultureInfo.InvariantCulture), from: from);

    /// <summary>A number with some digits, or a dash.</summary>
    public static string Of(double? value, string take, int digits, string from = "") =>
        value is { } known ? Number(known, take, Digits(known, digits), from: from) : Dash;

    /// <summary>Shown where nothing was measured or entered.</summary>
    public const string Dash = "<span class=\"none\">–</span>";

    /// <summary>A measure of a jump with its standard uncertainty; a dash when it was not measured.</summary>
    public static string Measure(Measure measure, JumpSheet sheet, bool withUncertainty = true)
    {
        if (sheet.Number(measure.Key) is not { } value)
        {
            return Dash;
        }

        var text = Number(value, Pointer(measure.Key), measure.Text(value), measure.Factor);
        return withUncertainty && sheet.Uncertainty(measure.Key) is { } uncertainty && measure.Uncertainty(sheet) is { } shown
            ? $"{text} <small>± {Number(uncertainty, "/uncertainty" + Pointer(measure.Key), shown, measure.Factor)}</small>"
            : text;
    }

    /// <summary>A time, read in the hall's zone.</summary>
    public static string Time(long us, string take, string shown, string from = "") =>
        $"<time datetime=\"{Rfc3339.Text(new SampleTime(us))}\" data-take=\"{HtmlPage.Safe(take)}\"{from}>{HtmlPage.Safe(shown)}</time>";

    /// <summary>A text as the interface has it.</summary>
    public static string Text(string text, string take) => $"<q data-take=\"{HtmlPage.Safe(take)}\">{HtmlPage.Safe(text)}</q>";

    /// <summary>A word of the interface, shown in the words of people: <c>data-word</c> is the word as the interface has it.</summary>
    public static string Word(string word, string take, string shown) => $"<span data-take=\"{HtmlPage.Safe(take)}\" data-word=\"{HtmlPage.Safe(word)}\">{HtmlPage.Safe(shown)}</span>";

    /// <summary>A pointer from a key with dots.</summary>
    public static string Pointer(string key) => "/" + key.Replace('.', '/');

    /// <summary>A number with some digits; its minus is a minus sign, and nothing is no minus nothing.</summary>
    public static string Digits(double value, int digits)
    {
        var text = value.ToString("F" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return !text.StartsWith('-') ? text : text.AsSpan().IndexOfAnyInRange('1', '9') < 0 ? text[1..] : '\u2212' + text[1..];
    }
}
