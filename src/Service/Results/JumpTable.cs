using System.Globalization;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Recordings;
using Saltograph.Service.Verbs;
using Spectre.Console;

namespace Saltograph.Service.Results;

/// <summary>Jumps as a table for people.</summary>
internal static class JumpTable
{
    private const string NotMeasured = "-";

    /// <summary>Shows what was read and the jumps found.</summary>
    public static void Show(Terminal terminal, RecordingAnalysis analysis)
    {
        var console = terminal.Ansi();
        foreach (var (site, recording) in analysis.Recordings)
        {
            var lost = recording.Lost.Count(isLost => isLost);
            var saturated = recording.Marks.Count(marks => marks != SampleMarks.None);
            console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{site.Name()}: {recording.Rows} rows, {recording.SampleRateHz:0.0} Hz, {lost} lost, {saturated} saturated"));
        }

        var table = new Table().RoundedBorder();
        foreach (var heading in new[] { "jump", "take-off s", "flight s", "height m", "form", "turn deg", "split deg", "shock trunk g", "left g", "right g", "grade", "quality" })
        {
            table.AddColumn(new TableColumn(heading) { NoWrap = heading != "quality" });
        }

        foreach (var jump in analysis.Jumps)
        {
            table.AddRow(Cells(jump));
        }

        console.Write(table);
    }

    private static string[] Cells(JumpRecord jump) =>
    [
        jump.Number.ToString(CultureInfo.InvariantCulture),
        Text(jump.TakeoffTime.Seconds, "0.000"),
        Text(jump.FlightTimeS, "0.000"),
        Text(jump.HeightM, "0.000"),
        JumpJson.Word(jump.Form) ?? NotMeasured,
        Text(jump.TurnFlightDeg, "0"),
        Text(jump.SplitAngleDeg, "0"),
        Text(jump.LandingShockG.TrunkG, "0.0"),
        Text(jump.LandingShockG.AnkleLeftG, "0.0"),
        Text(jump.LandingShockG.AnkleRightG, "0.0"),
        jump.Grade.ToString(),
        string.Join(' ', jump.Quality),
    ];

    private static string Text(double? value, string format)
    {
        var text = value?.ToString(format, CultureInfo.InvariantCulture) ?? NotMeasured;
        return text == "-0" ? "0" : text;
    }
}
