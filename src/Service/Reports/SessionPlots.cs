using Saltograph.Board.Text;
using Saltograph.Service.Results;
using ScottPlot;

namespace Saltograph.Service.Reports;

/// <summary>Plots of one training. The axis of time is the hall's clock.</summary>
internal static class SessionPlots
{
    private const double LeastDot = 4;
    private const double DotPerM = 26;
    private static readonly long[] StepsS = [60, 300, 600, 900, 1800, 3600, 7200];

    /// <summary>Who jumped when: a row for each athlete, a dot for each jump, larger for higher, a triangle for a hard landing.</summary>
    public static Plot Rows(IReadOnlyList<(string Athlete, JumpGroup Group)> groups, HallTime time, Words words)
    {
        var plot = PageDrawing.New(words["report.plot.when"], "", "");
        for (var i = 0; i < groups.Count; i++)
        {
            var y = groups.Count - 1 - i;
            foreach (var jump in groups[i].Group.Jumps)
            {
                Dot(plot, jump, y, (float)(LeastDot + (DotPerM * jump.Row.HeightM)));
            }
        }

        plot.Axes.Left.SetTicks([.. Enumerable.Range(0, groups.Count).Select(i => (double)(groups.Count - 1 - i))], [.. groups.Select(group => group.Athlete)]);
        plot.Axes.Left.MajorTickStyle.Length = 0;
        Clock(plot, [.. groups.SelectMany(group => group.Group.Jumps)], time);
        plot.Axes.SetLimitsY(-0.7, groups.Count - 0.3);
        return plot;
    }

    /// <summary>One measure of one athlete over the training.</summary>
    public static Plot Course(JumpGroup group, Measure measure, HallTime time, Words words)
    {
        var plot = PageDrawing.New($"{words[$"measure.{measure.Key}"]}, {measure.Unit}", "", "");
        var measured = group.Jumps.Where(jump => jump.Sheet.Number(measure.Key) is not null).ToList();
        foreach (var jump in measured)
        {
            Dot(plot, jump, jump.Sheet.Number(measure.Key)!.Value * measure.Factor, 7);
        }

        Clock(plot, measured, time);
        if (measured.Count > 0)
        {
            var values = measured.Select(jump => jump.Sheet.Number(measure.Key)!.Value * measure.Factor).ToList();
            var room = Math.Max(1e-6, values.Max() - values.Min()) * 0.12;
            plot.Axes.SetLimitsY(values.Min() - room, values.Max() + room);
        }

        return plot;
    }

    private static void Dot(Plot plot, ReportedJump jump, double y, float size)
    {
        var colour = jump.IsHard ? PageDrawing.Orange : PageDrawing.Blue.WithAlpha(0.6);
        var dot = plot.Add.Marker(jump.Row.LandingUs / 1e6, y, jump.IsHard ? MarkerShape.FilledTriangleUp : MarkerShape.FilledCircle, jump.IsHard ? size + 3 : size, colour);
        dot.MarkerStyle.LineWidth = 0;
    }

    // Four to ten ticks at whole minutes of the hall.
    private static void Clock(Plot plot, List<ReportedJump> jumps, HallTime time)
    {
        plot.Axes.Bottom.MajorTickStyle.Length = 4;
        if (jumps.Count == 0)
        {
            plot.Axes.Bottom.SetTicks([], []);
            return;
        }

        var (first, last) = (jumps.Min(jump => jump.Row.LandingUs) / 1e6, jumps.Max(jump => jump.Row.LandingUs) / 1e6);
        var room = Math.Max(30, (last - first) * 0.03);
        var step = Array.Find(StepsS, each => (last - first) / each <= 9) is > 0 and var found ? found : StepsS[^1];
        var midnight = time.BeginsUs(time.Day((long)(first * 1e6))) / 1e6;
        var ticks = new List<double>();
        for (var at = midnight + (Math.Ceiling((first - room - midnight) / step) * step); at <= last + room; at += step)
        {
            ticks.Add(at);
        }

        plot.Axes.Bottom.SetTicks([.. ticks], [.. ticks.Select(at => time.Clock((long)(at * 1e6))[..5])]);
        plot.Axes.SetLimitsX(first - room, last + room);
    }
}
