using System.Globalization;
using Saltograph.Comparison;

namespace Saltograph.Board.Text;

/// <summary>Differences in the words and units of the pages.</summary>
public static class RemarkWords
{
    /// <summary>A remark in the language of the pages: text <c>remark.KIND</c>, or the measure's own words.</summary>
    public static string Say(Words words, Remark remark)
    {
        ArgumentNullException.ThrowIfNull(words);
        ArgumentNullException.ThrowIfNull(remark);
        var (measure, a, b) = (remark.Difference.Measure, remark.Difference.A!.Mean, remark.Difference.B!.Mean);
        return remark.Kind switch
        {
            RemarkKind.TurnStillOn => words.Of("remark.turnstillon", Text(measure, b), Text(measure, a)),
            RemarkKind.TurnOver => words.Of("remark.turnover", Text(measure, b), Text(measure, a)),
            RemarkKind.LegsOpenBefore or RemarkKind.LegsOpenAfter => words.Of("remark.legsopen", Instant(words, b), Instant(words, a)),
            RemarkKind.TimeShare or RemarkKind.ShockShare => Capital(remark.Text),
            _ => Capital(words.Has($"remark.{measure.Key}.{remark.Difference.Verdict}") ? words[$"remark.{measure.Key}.{remark.Difference.Verdict}"] : remark.Text),
        };
    }

    /// <summary>A value in the unit in which the pages show the measure.</summary>
    public static string Text(Saltograph.Comparison.Measure measure, double value)
    {
        ArgumentNullException.ThrowIfNull(measure);
        return Shown(measure).Text(value);
    }

    /// <summary>The same with its sign.</summary>
    public static string WithSign(Saltograph.Comparison.Measure measure, double value)
    {
        var text = Text(measure, value);
        return value > 0 && text.AsSpan().IndexOfAnyInRange('1', '9') >= 0 ? "+" + text : text;
    }

    /// <summary>How the pages show a measure.</summary>
    public static Measure Shown(Saltograph.Comparison.Measure measure)
    {
        ArgumentNullException.ThrowIfNull(measure);
        return Measures.Of(measure.Key) ?? new(measure.Key, measure.Unit, measure.Decimals);
    }

    private static string Instant(Words words, double timeS) => words.Of(timeS < 0 ? "remark.before" : "remark.after", (Math.Abs(timeS) * 1000).ToString("F0", CultureInfo.InvariantCulture));

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
