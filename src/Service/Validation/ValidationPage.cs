using System.Globalization;
using System.Reflection;
using System.Runtime.InteropServices;
using Saltograph.Service.Results;
using Saltograph.Service.Verbs;

namespace Saltograph.Service.Validation;

/// <summary>The validation report as one page.</summary>
internal static class ValidationPage
{
    private const int Drawn = 7;

    private static readonly string[] FlightShock = ["flightTimeS", ValidatedMeasure.LandingAnkleShock];

    /// <summary>The text of the page.</summary>
    /// <param name="result">What came out.</param>
    /// <param name="made">When, UTC.</param>
    public static string Text(ValidationResult result, DateTimeOffset made)
    {
        var figures = new Figures();
        var page = new HtmlPage("How exact are the measures?")
            .Paragraph(Made(result, made), "soft")
            .Paragraph(Cautions.Line, "caution");
        Cards(page, result.AsWorn);
        Agreement(page, figures, result.AsWorn);
        Calibration(page, figures, result.AsWorn);
        page.Heading("Error against speed of turn")
            .Paragraph("Each dot a jump, three sensors; orange bars: 95 per cent of the errors in a stretch of speeds with at least eight jumps are not larger.");
        figures.Add(page, ["flightTimeS", "turnFlightDeg", "turnRateTakeoffDps", "splitAngleDeg"], key => Plots.AgainstTurn(result.AsWorn.Errors(ValidatedMeasure.Of(key))), "against the speed of turn");
        Varied(page, figures, result, ValidationGroups.Worn, "The same packets, with sensors left out. Without both ankles there is no split and no ankle shock.", ["flightTimeS", "heightM", "turnFlightDeg", "absorptionTimeS"]);
        Varied(page, figures, result, ValidationGroups.Rate, "All three sensors at the rate. Shocks are short: a low rate misses their peak, and below 134 Hz they are not filtered.", [.. FlightShock, "turnFlightDeg", "splitAngleDeg"]);
        Varied(page, figures, result, ValidationGroups.Range, "All accelerometers with the range. Beyond it a shock is \"at least\" and not in the figure; the flight around it suffers.", FlightShock);
        Varied(page, figures, result, ValidationGroups.GyroscopeRange, "All gyroscopes with the range. A turn or a swing beyond it is cut off.", ["turnFlightDeg", "splitAngleDeg"]);
        Recorded(page, result.Recorded);
        return page.Heading("How to read this")
            .Paragraph("Bias: mean of measured minus true. Limits of agreement: bias -+ 1.96 standard deviations of the differences (J. M. Bland, D. G. Altman 1986, Lancet 327:307-310); 95 of 100 differences lie inside when they are normally distributed. Median and 95 %: of the size of the error. Brackets: 95 per cent interval of the bias.")
            .Paragraph("Recall: share of the true jumps found. Precision: share of the jumps found that are true. A flight between 0.20 and 0.22 s is neither asked for nor wrong. Shocks at a sensor's rail are bounds and take no part in errors.")
            .Paragraph("Simulated gymnasts are built from the same textbooks as the measures and are kinder than people: figures on recorded data count for more, and there is no recorded truth for shock and split here.")
            .ToString();
    }

    private static string Made(ValidationResult result, DateTimeOffset made)
    {
        var version = typeof(ValidationPage).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion ?? "unknown";
        var plan = result.Plan;
        return string.Create(
            CultureInfo.InvariantCulture,
            $"Saltograph {version}, made {made:yyyy-MM-dd HH:mm} UTC on {RuntimeInformation.OSDescription}, {RuntimeInformation.OSArchitecture}, {Environment.ProcessorCount} processors, {RuntimeInformation.FrameworkDescription}. Simulated: {plan.Trainings} trainings of {plan.TrainingS:0} s with three sensors at 416 Hz (seeds {plan.FirstSeed} to {plan.FirstSeed + (ulong)plan.Trainings - 1}), {plan.SweepTrainings} of {plan.SweepS:0} s for each other condition; sensors with errors, packets over a network with faults, through the pipeline of the service.");
    }

    private static void Cards(HtmlPage page, TrialScore score)
    {
        var cards = new List<(string Figure, string Words)>
        {
            (Share(score.Recall), string.Create(CultureInfo.InvariantCulture, $"recall, {score.Asked - score.Missed} of {score.Asked} jumps found")),
            (Share(score.Precision), string.Create(CultureInfo.InvariantCulture, $"precision, {score.False} false")),
            (Share(score.FormRight), "form right"),
        };
        foreach (var measure in ValidatedMeasure.All.Take(Drawn))
        {
            var summary = score.Errors(measure);
            cards.Add(($"{Figure(summary.P95)} {measure.Unit}", $"{measure.Name}: 95 % within (median {Figure(summary.Median)})"));
        }

        page.Raw("<div class=\"cards\">" + string.Concat(cards.Select(card => $"<div class=\"card\"><b>{HtmlPage.Safe(card.Figure)}</b><span>{HtmlPage.Safe(card.Words)}</span></div>")) + "</div>");
    }

    private static void Agreement(HtmlPage page, Figures figures, TrialScore score)
    {
        page.Heading("Agreement with the truth, measure by measure").Paragraph("Simulated trainings as worn in the hall: three sensors, 416 Hz.");
        page.Table(
            ["~measure", "unit", "jumps", "bias", "95 % interval of bias", "standard deviation", "limits of agreement", "median", "95 %", "rms of error / stated uncertainty"],
            ValidatedMeasure.All.Select(score.Errors).Select(Row));
        page.Paragraph("Blue: jumps. Orange: bias, and the limits of agreement dashed.", "soft");
        figures.Add(page, ValidatedMeasure.All.Take(Drawn).Select(measure => measure.Key), key => Plots.Agreement(score.Errors(ValidatedMeasure.Of(key))), "agreement");
    }

    /// <summary>A row of the table of agreement.</summary>
    internal static string[] Row(ErrorSummary summary)
    {
        var agreement = summary.Agreement;
        return
        [
            HtmlPage.Safe(summary.Measure.Name),
            HtmlPage.Safe(summary.Measure.Unit),
            summary.Errors.Count.ToString(CultureInfo.InvariantCulture),
            Figure(agreement?.Bias),
            agreement is null ? "-" : $"{Figure(agreement.BiasInterval95.Low)} to {Figure(agreement.BiasInterval95.High)}",
            Figure(agreement?.StandardDeviation),
            agreement is null ? "-" : $"{Figure(agreement.Limits.Low)} to {Figure(agreement.Limits.High)}",
            Figure(summary.Median),
            Figure(summary.P95),
            summary.Calibration is { } rms ? rms.ToString("0.00", CultureInfo.InvariantCulture) : "-",
        ];
    }

    private static void Calibration(HtmlPage page, Figures figures, TrialScore score)
    {
        var stated = ValidatedMeasure.All.Select(score.Errors).Where(summary => summary.Calibration is not null).ToList();
        page.Heading("Are the stated uncertainties right?");
        if (stated.Count == 0)
        {
            page.Paragraph("The records state no uncertainties.");
            return;
        }

        page.Paragraph("Near 1: right. Above: promised too much. Below: too careful. Band: 0.8 to 1.25.");
        page.Raw($"<figure>{PageDrawing.Svg(Plots.Calibration(stated), figures.Next(), "error over stated uncertainty", width: 1100)}</figure>");
    }

    private static void Varied(HtmlPage page, Figures figures, ValidationResult result, string group, string says, IEnumerable<string> keys)
    {
        var conditions = result.Of(group).ToList();
        page.Heading(group).Paragraph(says + " Blue: median, orange: 95 per cent.");
        page.Table(
            ["~condition", "jumps", "missed", "false", "recall", "precision", "form right", .. ValidatedMeasure.All.Take(Drawn).Select(measure => $"{measure.Name}, 95 % ({measure.Unit})")],
            conditions.Select(condition => (IReadOnlyList<string>)
            [
                HtmlPage.Safe(condition.Name),
                condition.Score.Asked.ToString(CultureInfo.InvariantCulture),
                condition.Score.Missed.ToString(CultureInfo.InvariantCulture),
                condition.Score.False.ToString(CultureInfo.InvariantCulture),
                Share(condition.Score.Recall),
                Share(condition.Score.Precision),
                Share(condition.Score.FormRight),
                .. ValidatedMeasure.All.Take(Drawn).Select(measure => Figure(condition.Score.Errors(measure).P95)),
            ]));
        figures.Add(page, keys, key => Plots.AgainstCondition(ValidatedMeasure.Of(key), conditions), $"under each {group.ToLowerInvariant()}");
    }

    private static void Recorded(HtmlPage page, IReadOnlyList<RecordedSet> sets)
    {
        page.Heading("Recorded data");
        if (sets.Count == 0)
        {
            page.Paragraph("None was given. With --data DIR, each folder in DIR that holds events.csv (columns trial, takeoff_s, landing_s, and record keys such as height_m as far as known) and TRIAL.csv or TRIAL.csv.gz is measured.");
            return;
        }

        page.Table(
            ["~set", "~recordings", "jumps", "missed", "false", "flight time: median (ms)", "worst (ms)", "bias (ms)", "limits of agreement (ms)"],
            sets.Where(set => set.Trials.Count > 0).Select(set =>
            {
                var flight = set.Score.Errors(ValidatedMeasure.Of("flightTimeS"));
                return (IReadOnlyList<string>)
                [
                    HtmlPage.Safe(set.Name),
                    HtmlPage.Safe(string.Join(", ", set.Trials)),
                    set.Score.Asked.ToString(CultureInfo.InvariantCulture),
                    set.Score.Missed.ToString(CultureInfo.InvariantCulture),
                    set.Score.False.ToString(CultureInfo.InvariantCulture),
                    Figure(flight.Median),
                    Figure(flight.Errors.Count == 0 ? null : flight.Errors.Max(error => Math.Abs(error.Error))),
                    Figure(flight.Agreement?.Bias),
                    flight.Agreement is { } agreement ? $"{Figure(agreement.Limits.Low)} to {Figure(agreement.Limits.High)}" : "-",
                ];
            }));
        var skipped = sets.SelectMany(set => set.Skipped.Select(reason => $"{set.Name}: {reason}")).ToList();
        if (skipped.Count > 0)
        {
            page.Paragraph("Left out:").Raw("<ul>" + string.Concat(skipped.Select(reason => $"<li>{HtmlPage.Safe(reason)}</li>")) + "</ul>");
        }
    }

    private static string Share(double? share) => share?.ToString("0.000", CultureInfo.InvariantCulture) ?? "-";

    private static string Figure(double? value) => value is { } number ? Plots.Figure(number) : "-";

    /// <summary>Numbers the plots of the page.</summary>
    private sealed class Figures
    {
        private int _count;

        public int Next() => ++_count;

        public void Add(HtmlPage page, IEnumerable<string> keys, Func<string, ScottPlot.Plot> plot, string says) => page.Raw(
            "<div class=\"two\">" + string.Concat(keys.Select(key => $"<figure>{PageDrawing.Svg(plot(key), Next(), $"{ValidatedMeasure.Of(key).Name}, {says}")}</figure>")) + "</div>");
    }
}
