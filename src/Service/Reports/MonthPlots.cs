using System.Globalization;
using Saltograph.Board.Text;
using Saltograph.Load;
using Saltograph.Service.Api;
using Saltograph.Service.Results;
using ScottPlot;

namespace Saltograph.Service.Reports;

/// <summary>Plots over days of the hall.</summary>
internal static class MonthPlots
{
    private const double HalfBar = 0.36;

    /// <summary>Jumps of each day as bars, hollow while a day is known in part, a tick for the plan; nothing stands where nothing is known.</summary>
    public static Plot Days(IReadOnlyList<CurveDayBody> known, DateOnly first, int days, IReadOnlyDictionary<DateOnly, int> planned, Words words)
    {
        var curve = Filled(known, first, days);
        var plot = PageDrawing.New(words["report.plot.days"], "", words["report.jumps"]);
        for (var i = 0; i < curve.Length; i++)
        {
            if (curve[i] is { State: DayState.Data or DayState.Partial, Load: > 0 } day)
            {
                var bar = plot.Add.Rectangle(i - HalfBar, i + HalfBar, 0, day.Load!.Value);
                bar.FillColor = day.State == DayState.Partial ? PageDrawing.Band : PageDrawing.Blue;
                bar.LineColor = PageDrawing.Blue;
                bar.LineWidth = day.State == DayState.Partial ? 2 : 0;
            }

            if (planned.TryGetValue(first.AddDays(i), out var plan))
            {
                var tick = plot.Add.Line(i - 0.48, plan, i + 0.48, plan);
                tick.LineColor = PageDrawing.Orange;
                tick.LineWidth = 3;
            }
        }

        Calendar(plot, first, days);
        plot.Axes.SetLimitsY(0, Math.Max(1, Math.Max(curve.Max(day => day?.Load ?? 0), planned.Values.DefaultIfEmpty().Max())) * 1.12);
        return plot;
    }

    /// <summary>Acute load as a line, chronic as dots, as two curves and never as one ratio.</summary>
    public static Plot Curves(IReadOnlyList<CurveDayBody> known, DateOnly first, int days, Words words)
    {
        var curve = Filled(known, first, days);
        var plot = PageDrawing.New(words["report.plot.curves"], "", words["report.jumps"]);
        Curve(plot, curve, day => day.Acute, PageDrawing.Blue, isDotted: false);
        Curve(plot, curve, day => day.Chronic, PageDrawing.Orange, isDotted: true);
        Calendar(plot, first, days);
        plot.Axes.SetLimitsY(0, Math.Max(1, curve.Max(day => Math.Max(day?.Acute ?? 0, day?.Chronic ?? 0))) * 1.12);
        return plot;
    }

    /// <summary>Every value as a dot on its day, a line through the medians of the days.</summary>
    public static Plot Trend(JumpGroup jumps, Measure measure, DateOnly first, int days, HallTime time, Words words)
    {
        var plot = PageDrawing.New($"{words[$"measure.{measure.Key}"]}, {measure.Unit}", "", "");
        var values = jumps.Jumps.Where(jump => jump.Sheet.Number(measure.Key) is not null)
            .Select(jump => (Day: time.Day(jump.Row.LandingUs).DayNumber - first.DayNumber, Value: jump.Sheet.Number(measure.Key)!.Value * measure.Factor)).ToList();
        double[] dotDays = [.. values.Select(value => (double)value.Day)], dotValues = [.. values.Select(value => value.Value)];
        var dots = plot.Add.ScatterPoints(dotDays, dotValues);
        dots.MarkerSize = 4.5f;
        dots.MarkerStyle.FillColor = PageDrawing.Blue.WithAlpha(0.4);
        dots.MarkerStyle.LineWidth = 0;
        var medians = values.GroupBy(value => value.Day).OrderBy(day => day.Key).Select(day => (day.Key, Value: Robust(day.Select(value => value.Value)))).ToList();
        double[] medianDays = [.. medians.Select(median => (double)median.Key)], medianValues = [.. medians.Select(median => median.Value)];
        var line = plot.Add.Scatter(medianDays, medianValues);
        line.Color = PageDrawing.Orange;
        line.LineWidth = 2.5f;
        line.MarkerSize = 7;
        Calendar(plot, first, days);
        if (values.Count > 0)
        {
            var room = Math.Max(1e-6, values.Max(value => value.Value) - values.Min(value => value.Value)) * 0.1;
            plot.Axes.SetLimitsY(values.Min(value => value.Value) - room, values.Max(value => value.Value) + room);
        }

        return plot;
    }

    // Every day of the stretch; null before the first of which anything is known.
    private static CurveDayBody?[] Filled(IReadOnlyList<CurveDayBody> known, DateOnly first, int days)
    {
        var byDay = known.ToDictionary(day => day.Day);
        return [.. Enumerable.Range(0, days).Select(i => byDay.GetValueOrDefault(first.AddDays(i)))];
    }

    // A tick on each Monday.
    private static void Calendar(Plot plot, DateOnly first, int days)
    {
        var ticks = Enumerable.Range(0, days).Where(i => first.AddDays(i).DayOfWeek == DayOfWeek.Monday).ToList();
        plot.Axes.Bottom.SetTicks([.. ticks.Select(i => (double)i)], [.. ticks.Select(i => first.AddDays(i).ToString("ddd d MMM", CultureInfo.InvariantCulture))]);
        plot.Axes.SetLimitsX(-0.8, days - 0.2);
    }

    private static void Curve(Plot plot, CurveDayBody?[] days, Func<CurveDayBody, double?> of, Color colour, bool isDotted)
    {
        double? Of(int i) => days[i] is { } day ? of(day) : null;
        var known = Enumerable.Range(0, days.Length).Where(i => Of(i) is not null).ToList();
        if (known.Count == 0)
        {
            return;
        }

        double[] places = [.. known.Select(i => (double)i)], loads = [.. known.Select(i => Of(i)!.Value)];
        var curve = plot.Add.Scatter(places, loads);
        curve.Color = colour;
        curve.LineWidth = isDotted ? 0 : 2.5f; // dashes do not come through to SVG
        curve.MarkerSize = isDotted ? 6 : known.Count == 1 ? 8 : 0;
    }

    private static double Robust(IEnumerable<double> values)
    {
        var sorted = values.Order().ToList();
        return (sorted[(sorted.Count - 1) / 2] + sorted[sorted.Count / 2]) / 2;
    }
}
