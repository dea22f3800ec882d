using Saltograph.Comparison;
using Saltograph.Jumps;
using ScottPlot;

namespace Saltograph.Service.Results.Comparing;

/// <summary>Two mean curves with their bands.</summary>
internal static class CurvePlot
{
    private const float LineWidth = 2.5f;
    private const double BandAlpha = 0.18;

    /// <summary>A blue, B orange, bands of one standard deviation; grey where they differ beyond the detectable change.</summary>
    public static Plot Of(CurveQuantity quantity, CurveComparison comparison)
    {
        var plot = PageDrawing.New(char.ToUpperInvariant(quantity.Name[0]) + quantity.Name[1..], "", quantity.Unit);
        double[] places = [.. Enumerable.Range(0, comparison.MeanA.Count).Select(JumpCurves.PhaseOf)];
        var (low, high) = Limits(comparison);
        foreach (var stretch in comparison.Stretches)
        {
            var zone = plot.Add.Rectangle(places[stretch.First], places[stretch.Last], low, high);
            zone.FillColor = PageDrawing.Grid;
            zone.LineWidth = 0;
        }

        Band(plot, places, comparison.MeanA, comparison.DeviationA, PageDrawing.Blue);
        Band(plot, places, comparison.MeanB, comparison.DeviationB, PageDrawing.Orange);
        Curve(plot, places, comparison.MeanA, PageDrawing.Blue);
        Curve(plot, places, comparison.MeanB, PageDrawing.Orange);
        for (var border = 1; border <= 3; border++)
        {
            var line = plot.Add.VerticalLine(border);
            line.LineColor = PageDrawing.Soft;
            line.LineWidth = 1;
            line.LinePattern = LinePattern.Dotted;
        }

        plot.Axes.Bottom.SetTicks([0.5, 1.5, 2.5, 3.5], ["preparation", "push-off", "flight", "absorption"]);
        plot.Axes.Bottom.MajorTickStyle.Length = 0;
        plot.Grid.XAxisStyle.IsVisible = false;
        plot.Axes.SetLimits(0, 4, low, high);
        return plot;
    }

    private static (double Low, double High) Limits(CurveComparison comparison)
    {
        var highest = Edges(comparison, 1).Max();
        var lowest = Edges(comparison, -1).Min();
        var room = Math.Max(1e-6, highest - lowest) * 0.05;
        return (lowest - room, highest + room);
    }

    private static IEnumerable<double> Edges(CurveComparison comparison, int sign) =>
        comparison.MeanA.Select((mean, i) => mean + (sign * (comparison.DeviationA?[i] ?? 0)))
            .Concat(comparison.MeanB.Select((mean, i) => mean + (sign * (comparison.DeviationB?[i] ?? 0))));

    private static void Band(Plot plot, double[] places, IReadOnlyList<double> mean, IReadOnlyList<double>? deviation, Color color)
    {
        if (deviation is not null)
        {
            var band = plot.Add.FillY(places, [.. mean.Zip(deviation, (m, s) => m - s)], [.. mean.Zip(deviation, (m, s) => m + s)]);
            band.FillColor = color.WithAlpha(BandAlpha);
            band.LineWidth = 0;
            band.MarkerSize = 0;
        }
    }

    private static void Curve(Plot plot, double[] places, IReadOnlyList<double> mean, Color color)
    {
        var curve = plot.Add.ScatterLine(places, [.. mean]);
        curve.LineColor = color;
        curve.LineWidth = LineWidth;
    }
}
