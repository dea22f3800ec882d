using System.Globalization;
using System.Text.RegularExpressions;
using ScottPlot;

namespace Saltograph.Service.Results;

/// <summary>The look that all plots share. Colours are named in the page's style, so that a plot is light or dark with its page, and on paper.</summary>
internal static partial class PageDrawing
{
    private const float FontSize = 13;

    // Stand-ins that no plot uses otherwise; the text of the plot then names the colour of the style instead.
    public static readonly Color Ink = Color.FromHex("#010203");
    public static readonly Color Soft = Color.FromHex("#010204");
    public static readonly Color Grid = Color.FromHex("#010205");
    public static readonly Color Blue = Color.FromHex("#010206");
    public static readonly Color Orange = Color.FromHex("#010207");
    public static readonly Color Green = Color.FromHex("#010208");
    public static readonly Color Band = Color.FromHex("#010209");

    private static readonly (string Stand, string Name)[] Names =
    [
        ("#010203", "var(--ink)"), ("#010204", "var(--soft)"), ("#010205", "var(--grid)"), ("#010206", "var(--blue)"), ("#010207", "var(--orange)"),
        ("#010208", "var(--green)"), ("#010209", "var(--band)"),
    ];

    /// <summary>An empty plot.</summary>
    public static Plot New(string title, string horizontal, string vertical)
    {
        var plot = new Plot();
        plot.FigureBackground.Color = Colors.Transparent;
        plot.DataBackground.Color = Colors.Transparent;
        plot.Axes.Color(Soft);
        plot.Grid.MajorLineColor = Grid;
        plot.Title(title, FontSize + 2);
        plot.XLabel(horizontal, FontSize);
        plot.YLabel(vertical, FontSize);
        plot.Axes.Title.Label.ForeColor = Ink;
        plot.Axes.Title.Label.Bold = true;
        plot.Axes.Bottom.Label.Bold = false;
        plot.Axes.Left.Label.Bold = false;
        plot.Axes.Bottom.TickLabelStyle.FontSize = FontSize - 1;
        plot.Axes.Left.TickLabelStyle.FontSize = FontSize - 1;
        plot.Axes.Top.FrameLineStyle.Width = 0;
        plot.Axes.Right.FrameLineStyle.Width = 0;
        plot.HideLegend();
        return plot;
    }

    /// <summary>Words in a plot, some points below their place or, with a minus, above it.</summary>
    public static void Words(Plot plot, string text, double x, double y, Alignment alignment, Color color, float below = 0)
    {
        var words = plot.Add.Text(text, x, y);
        words.LabelFontSize = FontSize - 1;
        words.LabelFontColor = color;
        words.LabelAlignment = alignment;
        words.OffsetY = below;
        words.LabelBackgroundColor = Colors.Transparent;
        words.LabelBorderColor = Colors.Transparent;
    }

    /// <summary>The plot as an element of a page. Ids are made its own, because several plots share a page.</summary>
    public static string Svg(Plot plot, int number, string says, int width = 560, int height = 340)
    {
        var text = plot.GetSvgXml(width, height);
        text = text[text.IndexOf("<svg", StringComparison.Ordinal)..];
        foreach (var (stand, name) in Names)
        {
            text = text.Replace(stand, name, StringComparison.OrdinalIgnoreCase);
        }

        var own = string.Create(CultureInfo.InvariantCulture, $"plot-{number}-");
        text = Id().Replace(text, $"id=\"{own}${{id}}\"");
        text = Reference().Replace(text, $"#{own}${{id}}${{end}}");
        text = FontFamily().Replace(text, "font-family=\"inherit\"");

        // Sized by the page, in proportion.
        return text.Replace("<svg ", string.Create(CultureInfo.InvariantCulture, $"<svg role=\"img\" aria-label=\"{HtmlPage.Safe(says)}\" viewBox=\"0 0 {width} {height}\" "), StringComparison.Ordinal);
    }

    [GeneratedRegex("\\bid=\"(?<id>[^\"]+)\"", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 5000)]
    private static partial Regex Id();

    [GeneratedRegex("(?<=url\\(|href=\")#(?<id>[^)\"]+)(?<end>[)\"])", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 5000)]
    private static partial Regex Reference();

    [GeneratedRegex("font-family=\"[^\"]*\"", RegexOptions.None, matchTimeoutMilliseconds: 5000)]
    private static partial Regex FontFamily();
}
