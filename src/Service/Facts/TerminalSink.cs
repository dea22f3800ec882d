using System.Globalization;
using Saltograph.Jumps;
using Saltograph.Service.Ingest;
using Saltograph.Service.Results;

namespace Saltograph.Service.Facts;

/// <summary>A line on the terminal for each jump, as soon as it is measured.</summary>
/// <param name="output">The terminal.</param>
/// <param name="zone">The hall's zone.</param>
internal sealed class TerminalSink(TextWriter output, TimeZoneInfo zone) : IFactSink
{
    private const string NotMeasured = "-";

    /// <summary>What stands above the lines.</summary>
    public const string Heading = "time      athlete      jump  form      flight s  height cm  turn deg  split deg  shock g  grade";

    /// <inheritdoc/>
    public string Name => "terminal";

    /// <inheritdoc/>
    public bool MustMissNothing => false;

    /// <summary>The line for a jump.</summary>
    public static string Line(JumpMeasured measured, TimeZoneInfo zone)
    {
        var jump = measured.Jump;
        var time = TimeZoneInfo.ConvertTime(HallClock.ToDateTime(jump.LandingTime), zone);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{time:HH:mm:ss}  {measured.Athlete,-12} {jump.Number,4}  {JumpJson.Word(jump.Form) ?? NotMeasured,-8}  {jump.FlightTimeS,8:0.00}  "
            + $"{100 * jump.HeightM,9:0}  {Text(jump.TurnFlightDeg),8}  {Text(jump.SplitAngleDeg),9}  {Text(LargestShockG(jump), "0.0"),7}  {jump.Grade}");
    }

    /// <inheritdoc/>
    public async ValueTask EmitAsync(Fact fact, CancellationToken stop)
    {
        if (fact is JumpMeasured jump)
        {
            await output.WriteLineAsync(Line(jump, zone).AsMemory(), stop);
        }
    }

    private static double? LargestShockG(JumpRecord jump)
    {
        double?[] sites = [jump.LandingShockG.TrunkG, jump.LandingShockG.AnkleLeftG, jump.LandingShockG.AnkleRightG];
        return sites.Max();
    }

    private static string Text(double? value, string format = "0")
    {
        var text = value?.ToString(format, CultureInfo.InvariantCulture) ?? NotMeasured;
        return text == "-0" ? "0" : text;
    }
}
