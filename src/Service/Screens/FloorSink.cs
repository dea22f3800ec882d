using Saltograph.Board.Live;
using Saltograph.Board.Records;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;

namespace Saltograph.Service.Screens;

/// <summary>Tells the live floor what was measured.</summary>
internal sealed class FloorSink(LiveFloor floor) : IFactSink
{
    /// <inheritdoc/>
    public string Name => "floor";

    /// <inheritdoc/>
    public bool MustMissNothing => false;

    /// <summary>Who wears what, for the floor.</summary>
    public static IReadOnlyList<WornSensors> Worn(Roster roster) =>
        [.. roster.Athletes.Select(athlete => new WornSensors(athlete.Value, [.. roster.SensorsOf(athlete).Values.Order()]))];

    /// <inheritdoc/>
    public ValueTask EmitAsync(Fact fact, CancellationToken stop)
    {
        var athlete = fact.Athlete.Value;
        switch (fact)
        {
            case LiveSummary live:
                floor.Moved(athlete, live.Motion, [.. live.Sensors]);
                break;
            case LandingMeasured landing:
                floor.Landed(athlete, new(landing.Landing.LandingTime.Microseconds, landing.Landing.FlightTimeS, Results.JumpJson.Word(landing.Landing.LandingFoot)));
                break;
            case JumpMeasured jump:
                floor.Jumped(athlete, jump.EventId, new JumpSheet(FactRows.Record(jump)));
                Classify(floor, athlete, jump.EventId, jump.LandingClass);
                break;
            case LoadChanged load:
                floor.Counted(athlete, Count(load.Totals));
                break;
            default:
                break; // the rest is told where it is asked for
        }

        return ValueTask.CompletedTask;
    }

    /// <summary>Tells the class of a landing, when there is one.</summary>
    public static void Classify(LiveFloor floor, string athlete, string jump, string? word)
    {
        if (Enum.TryParse<LandingClass>(word, ignoreCase: true, out var landing))
        {
            floor.Classified(athlete, jump, landing);
        }
    }

    /// <summary>The totals of a day as the floor counts them.</summary>
    public static DayCount Count(DayTotals totals) => new(
        totals.Jumps, totals.Landings.Left + totals.Landings.Both, totals.Landings.Right + totals.Landings.Both, totals.Landings.Unknown);
}
