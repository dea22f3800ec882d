using System.Globalization;
using Saltograph.Board.Records;

namespace Saltograph.Board.Text;

/// <summary>One measure of a jump record: where it stands, in which unit it is shown, how finely.</summary>
/// <param name="Key">Key in the record; also of its name, <c>measure.KEY</c>, and explanation, <c>measure.KEY.help</c>.</param>
/// <param name="Unit">Unit as shown.</param>
/// <param name="Digits">Decimals shown.</param>
/// <param name="Factor">Shown value over the record's.</param>
public sealed record Measure(string Key, string Unit, int Digits, double Factor = 1)
{
    /// <summary>The value of a jump, for reading; null when not measured.</summary>
    public string? Show(JumpSheet sheet) => sheet.Number(Key) is { } value ? Text(value) : null;

    /// <summary>A value in the record's unit, for reading. A leading minus is a true minus sign.</summary>
    public string Text(double value)
    {
        var text = (value * Factor).ToString("F" + Digits, CultureInfo.InvariantCulture);
        return !text.StartsWith('-') ? text : text.AsSpan().IndexOfAnyInRange('1', '9') < 0 ? text[1..] : '\u2212' + text[1..];
    }

    /// <summary>The standard uncertainty, for reading; null when not known.</summary>
    public string? Uncertainty(JumpSheet sheet) => sheet.Uncertainty(Key) is { } value ? Spread(value * Factor) : null;

    // An uncertainty is never shown as nothing: one digit more when it would round to zero.
    private string Spread(double value)
    {
        var text = value.ToString("F" + Digits, CultureInfo.InvariantCulture);
        return text.AsSpan().IndexOfAnyInRange('1', '9') >= 0 ? text : value.ToString("F" + (Digits + 1), CultureInfo.InvariantCulture);
    }
}

/// <summary>The measures, in the order of reading.</summary>
public static class Measures
{
    /// <summary>Flight time.</summary>
    public static readonly Measure FlightTime = new("flightTimeS", "s", 3);

    /// <summary>Height, shown in cm.</summary>
    public static readonly Measure Height = new("heightM", "cm", 1, 100);

    /// <summary>Turn in the air.</summary>
    public static readonly Measure Turn = new("turnFlightDeg", "°", 0);

    /// <summary>Split angle.</summary>
    public static readonly Measure Split = new("splitAngleDeg", "°", 0);

    /// <summary>Landing shock at the trunk.</summary>
    public static readonly Measure Shock = new("landingShockG.trunk", "g", 1);

    /// <summary>All, by chapter; each chapter's name is <c>chapter.KEY</c>.</summary>
    public static readonly IReadOnlyList<(string Chapter, IReadOnlyList<Measure> Rows)> All =
    [
        ("flight", [FlightTime, Height, new("heightFlightTimeM", "cm", 1, 100), new("heightTakeoffVelocityM", "cm", 1, 100), new("trunkRiseM", "cm", 1, 100)]),
        ("pushoff", [new("takeoffVelocityMps", "m/s", 2), new("pushOffTimeS", "s", 3), new("crouchDepthM", "cm", 1, 100)]),
        ("turn", [
            new("turnPreparationDeg", "°", 0), Turn, new("turnRecoveryDeg", "°", 0), new("turnRateTakeoffDps", "°/s", 0), new("turnRateTopDps", "°/s", 0),
            new("turnRatePeakDps", "°/s", 0), new("inertiaGrowth", "", 2)]),
        ("split", [Split, new("splitAngleAtPeakDeg", "°", 0), new("splitHoldFraction", "%", 0, 100)]),
        ("landing", [
            Shock, new("landingShockG.ankleLeft", "g", 1), new("landingShockG.ankleRight", "g", 1), new("shockAttenuationPercent", "%", 0),
            new("shockRiseTimeS", "ms", 0, 1000), new("secondFootLagS", "ms", 0, 1000), new("absorptionTimeS", "s", 3), new("absorptionDepthM", "cm", 1, 100)]),
    ];

    private static readonly Measure[] More =
    [
        new("series.contactTimeS", "s", 3), new("course.legsOpenS", "ms", 0, 1000), new("course.legsWidestS", "ms", 0, 1000),
    ];

    /// <summary>A measure by its key, also of those that no chapter has; null for another.</summary>
    public static Measure? Of(string key) => All.SelectMany(chapter => chapter.Rows).Concat(More).FirstOrDefault(measure => measure.Key == key);
}
