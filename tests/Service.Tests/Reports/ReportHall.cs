using System.Globalization;
using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Tests.Reports;

/// <summary>Weeks of an invented squad, stored: trainings, jumps with some values missing, plans, notes.</summary>
internal static class ReportHall
{
    public const string Zone = "Pacific/Auckland"; // far from UTC, with summer time
    public const string Note = "Left <heel> sore & taped; 3 leaps stopped";
    public const string WarningText = """{"text":"3 hard landings <in a row> & more","found":3,"limit":3}""";
    public static readonly TimeZoneInfo HallZone = TimeZoneInfo.FindSystemTimeZoneById(Zone);

    private static readonly HallDays Days = new(HallZone);
    private static readonly Foot?[] Feet = [Foot.Left, Foot.Right, Foot.Both, null];
    private static readonly string[] Classes = ["soft", "normal", "normal", "firm", "hard", "saturated", "learning"];

    /// <summary>Fills a store.</summary>
    /// <param name="store">Empty.</param>
    /// <param name="athletes">Pseudonyms.</param>
    /// <param name="lastEndsUs">End of the last training.</param>
    /// <param name="trainings">One a day.</param>
    /// <param name="jumpsEach">Of each athlete in each.</param>
    /// <param name="hours">Length of a training.</param>
    public static async Task FillAsync(HallStore store, IReadOnlyList<string> athletes, long lastEndsUs, int trainings, int jumpsEach, double hours = 2)
    {
        var random = new Random(11);
        for (var back = trainings - 1; back >= 0; back--)
        {
            var endUs = lastEndsUs - (back * 86_400_000_000L);
            var beginUs = endUs - (long)(hours * 3_600e6);
            await store.WriteAsync(async transaction =>
            {
                for (var i = 0; i < athletes.Count; i++)
                {
                    await transaction.AddAthleteAsync(athletes[i], beginUs);
                    await transaction.OpenSessionAsync(new SessionRow
                    {
                        Id = $"{athletes[i]}.s{back}",
                        Athlete = athletes[i],
                        OpenedUs = beginUs + (i * 60_000_000L),
                        OpenedBy = "coach-1",
                        ClosedUs = endUs,
                        ClosedBy = "coach-1",
                        Notes = i == 0 ? Note : null,
                        Apparatus = i == 0 ? "ribbon" : null,
                        Kind = i == 0 ? SessionRow.ApparatusKind : SessionRow.ClassKind,
                        Exertion = i == 1 ? null : 6.5,
                    });
                    await transaction.PutPlanAsync(new PlanRow
                    {
                        Athlete = athletes[i],
                        Day = Days.Of(new(beginUs)),
                        Kind = PlanRow.PlanKind,
                        Limits = """{"jumps":40,"leftLandings":20}""",
                        EnteredUs = beginUs,
                        EnteredBy = "coach-1",
                    });
                    await WarnAsync(transaction, athletes[i], back, beginUs, endUs);
                    for (var number = 0; number < jumpsEach; number++)
                    {
                        var jump = Jump(random, athletes[i], back, number, beginUs + (long)((number + 0.5 + (0.3 * random.NextDouble())) * hours * 3_600e6 / jumpsEach));
                        await transaction.AddJumpAsync(jump);
                        if (i == 0)
                        {
                            await transaction.AddCurvesAsync(jump.Id, CurveBytes.Pack(Course(jump, random)));
                        }
                    }
                }

                return true;
            });
        }
    }

    // One of each fate: acknowledged and over, acknowledged twice, open, and one whose event has no text.
    private static async Task WarnAsync(StoreTransaction transaction, string athlete, int training, long beginUs, long endUs)
    {
        (string Rule, string Channel, string Priority, long AtUs, string Detail, (string State, string? Who)[] Fate)[] warnings =
        [
            ("hard-row", "landing", "high", beginUs + 600_000_000, WarningText, [("active-unacknowledged", null), ("acknowledged", "coach-1"), ("normal", null)]),
            ("plan", "overload", "medium", beginUs + 1_200_000_000, """{"text":"Jumps: 42; limit 40."}""", [("active-unacknowledged", null), ("acknowledged", "coach-1"), ("shelved", "coach-1"), ("active-unacknowledged", null), ("acknowledged", "physio-2")]),
            ("battery", "sensor", "low", endUs - 60_000_000, """{"text":"Left ankle: 9 % of the battery."}""", [("active-unacknowledged", null)]),
            ("late", "landing", "low", endUs + 30_000_000, "{}", [("active-unacknowledged", null), ("returned-unacknowledged", null)]),
        ];
        foreach (var (rule, channel, priority, atUs, detail, fate) in warnings)
        {
            var id = string.Create(CultureInfo.InvariantCulture, $"{athlete}.{rule}.{training}");
            await transaction.AddWarningAsync(new()
            {
                Id = id,
                Athlete = athlete,
                Rule = rule,
                Channel = channel,
                Priority = priority,
                State = fate[^1].State,
                Active = fate[^1].State != "normal",
                RaisedUs = atUs,
                ChangedUs = atUs + ((fate.Length - 1) * 5_000_000L),
                Detail = detail,
            });
            for (var number = 0; number < fate.Length; number++)
            {
                await transaction.AddWarningChangeAsync(new() { Warning = id, Number = number + 1, AtUs = atUs + (number * 5_000_000L), State = fate[number].State, Who = fate[number].Who, Why = fate[number].Who is null ? null : "seen" });
            }
        }
    }

    private static JumpRow Jump(Random random, string athlete, int session, int number, long landingUs)
    {
        var flightS = Math.Round(0.3 + (0.2 * random.NextDouble()), 5);
        var landing = Feet[random.Next(Feet.Length)];
        var record = ScriptedMeasuring.Record(number, flightS) with
        {
            TakeoffTime = new(landingUs - (long)(flightS * 1e6)),
            PeakTime = new(landingUs - (long)(flightS * 5e5)),
            LandingTime = new(landingUs),
            TakeoffFoot = Feet[random.Next(2)],
            LandingFoot = landing,
            Form = landing is null ? null : number % 4 == 0 ? JumpForm.Hop : JumpForm.Leap,
            TurnFlightDeg = number % 7 == 0 ? null : (random.NextDouble() * 600) - 300,
            SplitAngleDeg = number % 5 == 0 ? null : 120 + (60 * random.NextDouble()),
            AbsorptionTimeS = 0.1 + (0.1 * random.NextDouble()),
            LandingShockG = new(3 + (6 * random.NextDouble()), landing is Foot.Left or Foot.Both ? 10 + (10 * random.NextDouble()) : null, landing is Foot.Right or Foot.Both ? 10 + (10 * random.NextDouble()) : null),
            Uncertainty = new() { FlightTimeS = 0.003, HeightM = 0.006 },
        };
        var id = string.Create(CultureInfo.InvariantCulture, $"{athlete}.{session}.{number}");
        return FactRows.Of(new JumpMeasured(new AthleteId(athlete), id, record), Days) with { LandingClass = Classes[random.Next(Classes.Length)] };
    }

    // The last training opens the legs 80 ms sooner than those before.
    private static JumpCurves Course(JumpRow jump, Random random)
    {
        var opensS = (jump.Id.Contains(".0.", StringComparison.Ordinal) ? -0.05 : 0.03) + (0.01 * (random.NextDouble() - 0.5));
        double[] starts = [-1, -0.5, 0, jump.FlightTimeS];
        double[] times =
        [
            .. Enumerable.Range(0, JumpCurves.NodeCount).Select(node => JumpCurves.PhaseOf(node)).Select(phase =>
            {
                var number = Math.Min((int)phase, 3);
                var endS = number == 3 ? jump.FlightTimeS + 0.2 : starts[number + 1];
                return starts[number] + ((phase - number) * (endS - starts[number]));
            }),
        ];
        return new()
        {
            TimeS = times,
            AccelerationUpMps2 = [.. times.Select(at => at < 0 || at > jump.FlightTimeS ? 5 * Math.Sin(6 * at) : -9.8)],
            VelocityUpMps = [.. times.Select(at => 9.8 * ((jump.FlightTimeS / 2) - at))],
            TurnRateDps = [.. times.Select(at => 200 + (30 * random.NextDouble()) - (80 * at))],
            SplitAngleDeg = [.. times.Select(at => Math.Abs(at - opensS - 0.1) >= 0.2 ? 5 : 5 + (75 * (1 + Math.Cos(Math.PI * (at - opensS - 0.1) / 0.2))))],
        };
    }
}
