using System.Globalization;
using Saltograph.Comparison;

namespace Saltograph.Service.Results.Comparing;

/// <summary>Figures and verdicts of a comparison as people read them.</summary>
internal static class ComparisonWords
{
    public const string Basis =
        "Larger, smaller: beyond the detectable change, 1.96 sqrt(1/nA + 1/nB) times the standard error of measurement, from repeated jumps of the same gymnast (spread) or from the records. "
        + "Interval: 95 per cent, after Welch where both groups scatter. g: effect size after Hedges.";

    public const string ByChance =
        "Each measure is judged by itself: of twenty that did not change, one may seem to. Larger is not better; which change is wanted, the coach knows.";

    public const string Mixed =
        "A group holds jumps of several gymnasts. Jumps of one resemble each other, so the intervals are narrower than they should be.";

    public static string Text(this Verdict verdict) => verdict switch
    {
        Verdict.NotMeasured => "not measured",
        Verdict.TooFewJumps => "too few jumps",
        Verdict.NoChangeCanBeTold => "no change can be told",
        Verdict.Larger => "larger beyond the detectable change",
        Verdict.Smaller => "smaller beyond the detectable change",
        _ => "cannot be told: a sensor was at its rail",
    };

    /// <summary>The same where room is short; what it means stands below the table.</summary>
    public static string ShortText(this Verdict verdict) => verdict switch
    {
        Verdict.Larger => "larger",
        Verdict.Smaller => "smaller",
        Verdict.AtTheRail => "at the rail",
        _ => verdict.Text(),
    };

    public static string Text(this UncertaintyBasis basis) => basis switch
    {
        UncertaintyBasis.Records => "records",
        UncertaintyBasis.Spread => "spread",
        _ => "",
    };

    /// <summary>Mean, deviation and count of a group.</summary>
    public static string Group(this MeasureComparison compared, GroupStatistics? group)
    {
        if (group is null)
        {
            return "-";
        }

        var mean = (group.AtLeast > 0 ? ">= " : "") + Number(group.Mean, compared.Measure.Decimals);
        var deviation = group.StandardDeviation is { } sd ? $" sd {Number(sd, compared.Measure.Decimals + 1)}" : "";
        return string.Create(CultureInfo.InvariantCulture, $"{mean}{deviation} ({group.Count})");
    }

    public static string Difference(this MeasureComparison compared) => compared.Difference is { } difference
        ? Signed(difference, compared.Measure.Decimals) + (compared.IsBound ? " *" : "")
        : "-";

    public static string Interval(this MeasureComparison compared) => compared.Interval95 is { } interval
        ? $"{Signed(interval.Low, compared.Measure.Decimals)} to {Signed(interval.High, compared.Measure.Decimals)}"
        : "-";

    public static string Change(this MeasureComparison compared) => compared.DetectableChange is { } change
        ? $"{Number(change, compared.Measure.Decimals)} {compared.DetectableChangeBasis.Text()}"
        : "-";

    public static string Uncertainty(this MeasureComparison compared) => compared.StandardUncertainty is { } uncertainty
        ? $"{Number(uncertainty, compared.Measure.Decimals + 1)} {compared.StandardUncertaintyBasis.Text()}"
        : "-";

    public static string Effect(this MeasureComparison compared) => compared.HedgesG is { } g ? Signed(g, 1) : "-";

    /// <summary>A sentence of what differs: words of the trade, the measure, by how much.</summary>
    public static string Sentence(this MeasureComparison compared)
    {
        var times = compared.ChangeRatio is { } ratio
            ? string.Create(CultureInfo.InvariantCulture, $", {ratio:0.0} detectable changes")
            : "";
        var atLeast = compared.IsBound ? "at least " : "";
        return $"{compared.Words}: {compared.Measure.Name} {atLeast}{Signed(compared.Difference!.Value, compared.Measure.Decimals)} {Unit(compared.Measure)}".TrimEnd() + times;
    }

    public static string Unit(Measure measure) => measure.Unit switch
    {
        "[g]" => "g",
        "1" => "",
        var unit => unit,
    };

    private static string Signed(double value, int decimals)
    {
        var text = Number(value, decimals);
        return text.StartsWith('-') || text.AsSpan().Trim("0.").IsEmpty ? text : "+" + text;
    }

    private static string Number(double value, int decimals)
    {
        var text = value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        return text.StartsWith('-') && text.AsSpan().Trim("-0.").IsEmpty ? text[1..] : text;
    }
}
