using System.Globalization;
using Saltograph.Service.Results;
using ScottPlot;

namespace Saltograph.Service.Validation;

/// <summary>The plots of the report.</summary>
internal static class Plots
{
    private const float Dot = 5;
    private const double Room = 1.15;
    private const int LeastPerBin = 8;
    private const double Close = 0.06;
    private const float ApartPoints = 15;

    // Turn rates at take-off, deg/s: no turn, slow, half turns, fast, faster.
    private static readonly double[] TurnBinsDps = [0, 100, 250, 400, 550, 700, 900, 1200, 2000];

    /// <summary>Error against truth with bias and limits of agreement.</summary>
    public static Plot Agreement(ErrorSummary summary)
    {
        var measure = summary.Measure;
        var plot = PageDrawing.New(Capital(measure.Name), $"true value ({TruthUnit(measure)})", $"measured - true ({measure.Unit})");
        var xs = summary.Errors.Select(error => error.Expected * (measure.IsRelative ? 1 : measure.Factor)).ToArray();
        var ys = summary.Errors.Select(error => error.Error).ToArray();
        if (xs.Length == 0)
        {
            return plot;
        }

        var (low, high) = (xs.Min(), xs.Max());
        var margin = Math.Max(1e-6, high - low) * 0.04;
        var reach = Math.Max(ys.Max(Math.Abs), summary.Agreement is { } found ? Math.Max(Math.Abs(found.Limits.Low), Math.Abs(found.Limits.High)) : 0) * Room;
        if (summary.Agreement is { } agreement)
        {
            var band = plot.Add.Rectangle(low - margin, high + (6 * margin), agreement.Limits.Low, agreement.Limits.High);
            band.FillColor = PageDrawing.Band;
            band.LineWidth = 0;
            Line(plot, agreement.Bias, LinePattern.Solid);
            Line(plot, agreement.Limits.Low, LinePattern.Dashed);
            Line(plot, agreement.Limits.High, LinePattern.Dashed);
            var x = high + (6 * margin);
            PageDrawing.Words(plot, Figure(agreement.Limits.High), x, agreement.Limits.High, Alignment.LowerRight, PageDrawing.Ink, -3);
            PageDrawing.Words(plot, Figure(agreement.Bias), x, agreement.Bias, Alignment.LowerRight, PageDrawing.Orange, -3);
            PageDrawing.Words(plot, Figure(agreement.Limits.Low), x, agreement.Limits.Low, Alignment.UpperRight, PageDrawing.Ink, 3);
        }

        Dots(plot, xs, ys);
        plot.Axes.SetLimits(low - margin, high + (6 * margin), -Math.Max(reach, 1e-9), Math.Max(reach, 1e-9));
        return plot;
    }

    /// <summary>Size of the error against the speed of turn at take-off, with the 95 per cent mark of each stretch of speeds.</summary>
    public static Plot AgainstTurn(ErrorSummary summary)
    {
        var plot = PageDrawing.New(Capital(summary.Measure.Name), "true turn rate at take-off (deg/s)", $"size of error ({summary.Measure.Unit})");
        var points = summary.Errors
            .Where(error => error.Truth.Values.ContainsKey("turnRateTakeoffDps"))
            .Select(error => (X: Math.Abs(error.Truth.Values["turnRateTakeoffDps"]), Y: Math.Abs(error.Error)))
            .OrderBy(point => point.X).ToArray();
        if (points.Length == 0)
        {
            return plot;
        }

        Dots(plot, [.. points.Select(point => point.X)], [.. points.Select(point => point.Y)]);
        for (var i = 0; i + 1 < TurnBinsDps.Length; i++)
        {
            var sizes = points.Where(point => point.X >= TurnBinsDps[i] && point.X < TurnBinsDps[i + 1]).Select(point => point.Y).Order().ToArray();
            if (sizes.Length >= LeastPerBin)
            {
                var p95 = sizes[(int)Math.Ceiling(0.95 * sizes.Length) - 1];
                var line = plot.Add.Line(TurnBinsDps[i], p95, TurnBinsDps[i + 1], p95);
                line.LineColor = PageDrawing.Orange;
                line.LineWidth = 3;
            }
        }

        plot.Axes.SetLimits(0, points[^1].X * 1.03, 0, points.Max(point => point.Y) * Room);
        return plot;
    }

    /// <summary>Median and 95 per cent mark of the size of an error under several conditions.</summary>
    public static Plot AgainstCondition(ValidatedMeasure measure, IReadOnlyList<ValidatedCondition> conditions)
    {
        var plot = PageDrawing.New(Capital(measure.Name), "", $"size of error ({measure.Unit})");
        var highest = conditions.Max(condition => condition.Score.Errors(measure).P95 ?? 0);
        for (var i = 0; i < conditions.Count; i++)
        {
            var summary = conditions[i].Score.Errors(measure);
            if (summary.Median is not { } median || summary.P95 is not { } p95)
            {
                PageDrawing.Words(plot, "not measured", i, 0, Alignment.LowerCenter, PageDrawing.Soft);
                continue;
            }

            var line = plot.Add.Line(i, median, i, p95);
            line.LineColor = PageDrawing.Blue;
            line.LineWidth = 2;
            var middle = plot.Add.Marker(i, median, MarkerShape.FilledCircle, 10, PageDrawing.Blue);
            middle.MarkerStyle.LineWidth = 0;
            var edge = plot.Add.Marker(i, p95, MarkerShape.HorizontalBar, 16, PageDrawing.Orange);
            edge.MarkerStyle.LineColor = PageDrawing.Orange;
            edge.MarkerStyle.LineWidth = 3;

            // Where the two are close, their figures would cover each other: one stands a little higher, the other lower.
            var apart = p95 - median > highest * Close ? 0 : ApartPoints;
            PageDrawing.Words(plot, " " + Figure(median), i + 0.08, median, Alignment.MiddleLeft, PageDrawing.Blue, apart == 0 ? 0 : -2);
            PageDrawing.Words(plot, " " + Figure(p95), i + 0.08, p95, Alignment.MiddleLeft, PageDrawing.Orange, -apart);
        }

        plot.Axes.Bottom.SetTicks([.. Enumerable.Range(0, conditions.Count).Select(i => (double)i)], [.. conditions.Select(condition => condition.Name)]);
        plot.Axes.Bottom.MajorTickStyle.Length = 0;
        plot.Axes.SetLimits(-0.5, conditions.Count - 0.2, 0, Math.Max(highest, 1e-9) * Room);
        plot.Grid.XAxisStyle.IsVisible = false;
        return plot;
    }

    /// <summary>Root mean square of error over stated uncertainty, measure by measure.</summary>
    public static Plot Calibration(IReadOnlyList<ErrorSummary> stated)
    {
        var plot = PageDrawing.New("Stated uncertainties", "", "rms of error / uncertainty");
        var band = plot.Add.Rectangle(-0.5, stated.Count - 0.5, 0.8, 1.25);
        band.FillColor = PageDrawing.Band;
        band.LineWidth = 0;
        Line(plot, 1, LinePattern.Solid);
        for (var i = 0; i < stated.Count; i++)
        {
            var rms = stated[i].Calibration!.Value;
            plot.Add.Marker(i, rms, MarkerShape.FilledCircle, 11, PageDrawing.Blue).MarkerStyle.LineWidth = 0;
            PageDrawing.Words(plot, " " + rms.ToString("0.00", CultureInfo.InvariantCulture), i + 0.05, rms, Alignment.MiddleLeft, PageDrawing.Blue);
        }

        plot.Axes.Bottom.SetTicks([.. Enumerable.Range(0, stated.Count).Select(i => (double)i)], [.. stated.Select(summary => summary.Measure.Name.Replace(' ', '\n'))]);
        plot.Axes.SetLimits(-0.5, stated.Count - 0.5, 0, Math.Max(2, stated.Max(summary => summary.Calibration!.Value) * Room));
        plot.Grid.XAxisStyle.IsVisible = false;
        return plot;
    }

    /// <summary>Three figures that count, without an exponent.</summary>
    public static string Figure(double value)
    {
        var decimals = Math.Abs(value) switch { >= 99.5 => "0", >= 9.95 => "0.0", >= 0.0995 => "0.00", _ => "0.000" };
        var text = value.ToString(decimals, CultureInfo.InvariantCulture);
        return text.AsSpan().Trim("-0.").IsEmpty ? "0" : text;
    }

    private static void Line(Plot plot, double y, LinePattern pattern)
    {
        var line = plot.Add.HorizontalLine(y);
        line.LineColor = PageDrawing.Orange;
        line.LineWidth = 2;
        line.LinePattern = pattern;
    }

    private static void Dots(Plot plot, double[] xs, double[] ys)
    {
        var dots = plot.Add.ScatterPoints(xs, ys);
        dots.MarkerSize = Dot;
        dots.MarkerStyle.FillColor = PageDrawing.Blue.WithAlpha(0.55);
        dots.MarkerStyle.LineWidth = 0;
    }

    private static string TruthUnit(ValidatedMeasure measure) => measure.IsRelative ? "g" : measure.Unit;

    private static string Capital(string text) => char.ToUpperInvariant(text[0]) + text[1..];
}
