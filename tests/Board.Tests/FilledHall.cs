using System.Globalization;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Board.Tests;

/// <summary>The program <c>saltograph serve</c> with four weeks of an invented squad in its store: what pages of history are looked at with.</summary>
public sealed class FilledHall : IAsyncLifetime
{
    /// <summary>Pseudonyms.</summary>
    public static readonly IReadOnlyList<string> Squad = ["aster", "birke", "distel", "enzian", "farn", "ginster"];

    private const int Days = 28;
    private const double TrainingS = 5400;
    private const int Planned = 60;
    private const int Seed = 23;

    private readonly string _folder = Directory.CreateTempSubdirectory("saltograph-filled-").FullName;
    private BoardProcess? _board;

    /// <summary>Where the board is.</summary>
    public Uri Address => _board!.Address;

    /// <inheritdoc/>
    public async ValueTask InitializeAsync()
    {
        if (Browser.Program is null)
        {
            return; // every test skips
        }

        await File.WriteAllTextAsync(Path.Combine(_folder, "service.json"), """{"timeZone":"Europe/Berlin","people":{"anonymous":true},"http":{"port":0},"store":{"file":"hall.db"},"recordings":{"folder":"recordings"},"broker":{"embeddedBroker":{"port":0}}}""");
        await File.WriteAllTextAsync(Path.Combine(_folder, "thresholds.json"), "{}");
        await File.WriteAllTextAsync(
            Path.Combine(_folder, "roster.json"),
            "{\"sensors\":[" + string.Join(',', Squad.SelectMany(athlete => new[] { "trunk", "ankle-left", "ankle-right" }.Select(site => $$"""{"sensor":"{{athlete}}-{{site}}","athlete":"{{athlete}}","site":"{{site}}"}"""))) + "]}");
        await FillAsync();
        _board = await BoardProcess.ServeAsync(_folder);
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        if (_board is not null)
        {
            await _board.DisposeAsync();
        }

        Directory.Delete(_folder, recursive: true);
    }

    // Mondays, Wednesdays, Fridays and Saturdays; she improves over the weeks, tires inside a training, and lands harder on the right.
    private async Task FillAsync()
    {
        await using var store = await HallStore.OpenAsync(new() { File = Path.Combine(_folder, "hall.db") });
        var random = new Random(Seed);
        var today = DateTimeOffset.UtcNow.Date;
        for (var back = Days; back >= 1; back--)
        {
            var day = today.AddDays(-back);
            if (day.DayOfWeek is DayOfWeek.Tuesday or DayOfWeek.Thursday or DayOfWeek.Sunday)
            {
                continue;
            }

            await store.WriteAsync(async transaction =>
            {
                for (var i = 0; i < Squad.Count; i++)
                {
                    var begin = new DateTimeOffset(day, TimeSpan.Zero).AddHours(15);
                    var beginUs = begin.ToUnixTimeMilliseconds() * 1000;
                    var session = string.Create(CultureInfo.InvariantCulture, $"{Squad[i]}.{back}");
                    await transaction.AddAthleteAsync(Squad[i], beginUs);
                    await transaction.OpenSessionAsync(new()
                    {
                        Id = session,
                        Athlete = Squad[i],
                        OpenedUs = beginUs,
                        OpenedBy = "coach-1",
                        ClosedUs = beginUs + (long)(TrainingS * 1e6),
                        ClosedBy = "coach-1",
                        Exertion = 4 + (back % 5),
                        Notes = back % 6 == 0 && i < 3 ? "New music; leaps after the second run-through were cut short." : null,
                    });
                    await transaction.PutPlanAsync(new() { Athlete = Squad[i], Day = Day(begin), Kind = PlanRow.PlanKind, Limits = $$"""{"jumps":{{Planned}},"leftLandings":30,"rightLandings":35}""", EnteredUs = beginUs, EnteredBy = "coach-1" });
                    var jumps = 30 + random.Next(35);
                    await FilledWarnings.AddAsync(transaction, Squad[i], beginUs, TrainingS, jumps, Planned);
                    for (var number = 0; number < jumps; number++)
                    {
                        await transaction.AddJumpAsync(Jump(random, i, back, number, jumps, begin.AddSeconds(TrainingS * (number + random.NextDouble()) / jumps)));
                    }
                }

                return true;
            });
        }
    }

    private static string Day(DateTimeOffset at) => at.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static JumpRow Jump(Random random, int athlete, int back, int number, int jumps, DateTimeOffset at)
    {
        double Normal(double middle, double deviation) => middle + (deviation * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()));
        var landingUs = at.ToUnixTimeMilliseconds() * 1000;
        var isLeap = random.Next(4) > 0;
        var isLeft = isLeap ? random.Next(3) == 0 : random.Next(2) == 0;
        var isPlanted = athlete == 2 && number is >= 20 and < 23; // three in a row on one leg, each training, far beyond her scatter: for the rules
        (isLeap, isLeft) = isPlanted ? (true, false) : (isLeap, isLeft);
        var flightS = Math.Round(Normal(0.40 + (0.012 * athlete) + (0.0012 * (Days - back)) - (0.02 * number / jumps), 0.018), 5);
        var heightM = Math.Round(9.80665 * flightS * flightS / 8, 6);
        var (turnDeg, splitDeg) = (Math.Round(Normal(isLeap ? 178 : 25, 14), 2), Math.Round(Normal(isLeap ? 158 + (0.5 * (Days - back)) : 70, 9), 2));
        var ankleG = isPlanted ? 36 : Math.Round(Math.Max(6, Normal(isLeft ? 12 : 14, 2.2)), 3);
        var trunkG = Math.Round(0.38 * ankleG, 3);
        var series = number % 12 is 3 or 4 or 5 ? $$"""{"id":{{1 + (number / 12)}},"position":{{(number % 12) - 2}},"contactTimeS":{{(number % 12 == 3 ? "null" : Math.Round(Normal(0.26, 0.02), 4).ToString(CultureInfo.InvariantCulture))}}}""" : "null";
        var record = string.Create(
            CultureInfo.InvariantCulture,
            $$"""
            {"athlete":"{{Squad[athlete]}}","number":{{number}},"takeoffS":{{(landingUs / 1e6m) - (decimal)flightS}},"peakS":{{(landingUs / 1e6m) - ((decimal)flightS / 2)}},"landing":"{{at.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss.ffffff}}Z","landingS":{{landingUs / 1e6m}},
            "form":"{{(isLeap ? "leap" : "hop")}}","takeoffFoot":"{{(isLeap == isLeft ? "right" : "left")}}","landingFoot":"{{(isLeft ? "left" : "right")}}","flightTimeS":{{flightS}},"heightM":{{heightM}},"heightFlightTimeM":{{heightM}},
            "takeoffVelocityMps":{{Math.Round(9.80665 * flightS / 2, 4)}},"pushOffTimeS":{{Math.Round(Normal(0.30, 0.02), 4)}},"turnPreparationDeg":{{Math.Round(Normal(95, 20), 1)}},"turnFlightDeg":{{turnDeg}},"turnRecoveryDeg":{{Math.Round(Normal(45, 12), 1)}},
            "turnRateTakeoffDps":{{Math.Round(Normal(isLeap ? 420 : 80, 30), 1)}},"turnRateTopDps":{{Math.Round(Normal(isLeap ? 330 : 60, 30), 1)}},"turnRatePeakDps":{{Math.Round(Normal(isLeap ? 520 : 120, 30), 1)}},"inertiaGrowth":null,
            "splitAngleDeg":{{splitDeg}},"splitAngleAtPeakDeg":{{splitDeg - 4}},"splitHoldFraction":0.2,"landingShockG":{"trunk":{{trunkG}},"ankleLeft":{{(isLeft ? ankleG.ToString(CultureInfo.InvariantCulture) : "null")}},"ankleRight":{{(isLeft ? "null" : ankleG.ToString(CultureInfo.InvariantCulture))}}},
            "shockAttenuationPercent":62,"shockRiseTimeS":0.021,"absorptionTimeS":{{Math.Round(Normal(0.16 - (0.0015 * back), 0.015), 4)}},"absorptionDepthM":{{Math.Round(Normal(0.13, 0.01), 4)}},"series":{{series}},"grade":"A","quality":[],
            "uncertainty":{"takeoffS":0.002,"flightTimeS":0.003,"heightM":0.006,"turnFlightDeg":2,"splitAngleDeg":3.5} }
            """);
        return new()
        {
            Id = string.Create(CultureInfo.InvariantCulture, $"{Squad[athlete]}.{back}.{number}"),
            Athlete = Squad[athlete],
            Day = Day(at),
            Number = number,
            TakeoffUs = landingUs - (long)(flightS * 1e6),
            LandingUs = landingUs,
            Form = isLeap ? "leap" : "hop",
            TakeoffFoot = isLeap == isLeft ? "right" : "left",
            LandingFoot = isLeft ? "left" : "right",
            FlightTimeS = flightS,
            HeightM = heightM,
            TurnFlightDeg = turnDeg,
            SplitAngleDeg = splitDeg,
            ShockTrunkG = trunkG,
            ShockAnkleLeftG = isLeft ? ankleG : null,
            ShockAnkleRightG = isLeft ? null : ankleG,
            ContactTimeS = number % 12 is 4 or 5 ? Math.Round(Normal(0.26, 0.02), 4) : null,
            Grade = "A",
            LandingClass = back > Days - 3 ? "learning" : ankleG > 18 ? "hard" : ankleG > 16.5 ? "firm" : ankleG < 10.5 ? "soft" : "normal",
            Record = record,
        };
    }
}
