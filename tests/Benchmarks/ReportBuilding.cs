using System.Diagnostics;
using System.Globalization;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Benchmarks;

/// <summary>
/// How long the report of a training of two hours with six gymnasts takes: the verb as a process of its own, from its start to the written page, with the store on disk and 28 days before it.
/// </summary>
internal static class ReportBuilding
{
    private const int Athletes = 6;
    private const int Days = 28;
    private const int JumpsPerDay = 150;
    private const int Runs = 7;
    private const long FirstUs = 1_800_000_000_000_000;
    private const long DayUs = 86_400_000_000;
    private const long TrainingUs = 7_200_000_000;

    public static async Task<int> RunAsync()
    {
        var folder = Directory.CreateTempSubdirectory("saltograph-benchmark-").FullName;
        try
        {
            await File.WriteAllTextAsync(Path.Combine(folder, "service.json"), """{"timeZone":"Europe/Berlin","store":{"file":"hall.db"}}""");
            await File.WriteAllTextAsync(Path.Combine(folder, "roster.json"), """{"sensors":[{"sensor":"t-0","athlete":"athlete-0","site":"trunk"}]}""");
            await File.WriteAllTextAsync(Path.Combine(folder, "thresholds.json"), "{}");
            await FillAsync(Path.Combine(folder, "hall.db"));
            Console.WriteLine(FormattableString.Invariant($"{Athletes} gymnasts, {JumpsPerDay} jumps each in 2 h, {Days} such days stored, {Environment.ProcessorCount} cores; the verb report from its start to the written page"));
            Console.WriteLine("report          median s  worst s  page kB");
            await MeasureAsync(folder, "session", "--session", $"athlete-0.{Days - 1}");
            await MeasureAsync(folder, "athlete-month", "--athlete", "athlete-0", "--day", "2027-02-11");
            await MeasureAsync(folder, "squad-week", "--day", "2027-02-11");
            await MeasureAsync(folder, "guardian", "--athlete", "athlete-0");
            return 0;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static async Task MeasureAsync(string folder, string kind, params string[] more)
    {
        var page = Path.Combine(folder, kind + ".html");
        var times = new List<double>();
        for (var run = 0; run < Runs; run++)
        {
            var clock = Stopwatch.StartNew();
            using var process = Process.Start(new ProcessStartInfo(Path.Combine(AppContext.BaseDirectory, "saltograph"), ["report", kind, "--config", folder, "--output", page, .. more])
            {
                UseShellExecute = false,
                RedirectStandardOutput = true,
            })!;
            await process.StandardOutput.ReadToEndAsync();
            await process.WaitForExitAsync();
            times.Add(process.ExitCode == 0 ? clock.Elapsed.TotalSeconds : throw new InvalidOperationException($"report {kind} ended with {process.ExitCode}"));
        }

        times.Sort();
        Console.WriteLine(FormattableString.Invariant($"{kind,-14}  {times[Runs / 2],8:0.00}  {times[^1],7:0.00}  {new FileInfo(page).Length / 1024.0,7:0}"));
    }

    private static async Task FillAsync(string file)
    {
        await using var store = await HallStore.OpenAsync(new() { File = file });
        var random = new Random(5);
        for (var day = 0; day < Days; day++)
        {
            var beginUs = FirstUs + (day * DayUs);
            await store.WriteAsync(async transaction =>
            {
                for (var athlete = 0; athlete < Athletes; athlete++)
                {
                    var name = string.Create(CultureInfo.InvariantCulture, $"athlete-{athlete}");
                    await transaction.AddAthleteAsync(name, beginUs);
                    await transaction.OpenSessionAsync(new() { Id = string.Create(CultureInfo.InvariantCulture, $"{name}.{day}"), Athlete = name, OpenedUs = beginUs, OpenedBy = "coach-1", ClosedUs = beginUs + TrainingUs, ClosedBy = "coach-1" });
                    for (var number = 0; number < JumpsPerDay; number++)
                    {
                        await transaction.AddJumpAsync(Jump(random, name, day, number, beginUs + ((long)number * TrainingUs / JumpsPerDay) + (athlete * 1000)));
                    }
                }

                return true;
            });
        }
    }

    private static JumpRow Jump(Random random, string athlete, int day, int number, long landingUs)
    {
        var (flightS, splitDeg, turnDeg, shockG) = (0.35 + (0.15 * random.NextDouble()), 140 + (40 * random.NextDouble()), 200 * random.NextDouble(), 4 + (4 * random.NextDouble()));
        var heightM = 9.80665 * flightS * flightS / 8;
        var at = DateTimeOffset.UnixEpoch.AddTicks(landingUs * 10);
        return new()
        {
            Id = string.Create(CultureInfo.InvariantCulture, $"{athlete}.{day}.{number}"),
            Athlete = athlete,
            Day = new DateOnly(2027, 1, 15).AddDays(day).ToString("O", CultureInfo.InvariantCulture),
            Number = number,
            TakeoffUs = landingUs - (long)(flightS * 1e6),
            LandingUs = landingUs,
            Form = number % 3 == 0 ? "hop" : "leap",
            TakeoffFoot = number % 2 == 0 ? "left" : "right",
            LandingFoot = number % 5 == 0 ? "left" : "right",
            FlightTimeS = flightS,
            HeightM = heightM,
            TurnFlightDeg = turnDeg,
            SplitAngleDeg = splitDeg,
            ShockTrunkG = shockG,
            Grade = "A",
            LandingClass = number % 25 == 0 ? "hard" : "normal",
            Record = string.Create(
                CultureInfo.InvariantCulture,
                $$"""
                {"athlete":"{{athlete}}","number":{{number}},"takeoffS":{{(landingUs / 1e6) - flightS:F6}},"peakS":{{(landingUs / 1e6) - (flightS / 2):F6}},"landing":"{{at:yyyy-MM-ddTHH:mm:ss.ffffff}}Z","landingS":{{landingUs / 1e6:F6}},
                "form":"leap","takeoffFoot":"left","landingFoot":"right","flightTimeS":{{flightS}},"heightM":{{heightM}},"heightFlightTimeM":{{heightM}},"takeoffVelocityMps":2.1,"pushOffTimeS":0.31,"turnPreparationDeg":90,
                "turnFlightDeg":{{turnDeg}},"turnRecoveryDeg":40,"turnRateTakeoffDps":410,"turnRateTopDps":300,"turnRatePeakDps":520,"inertiaGrowth":1.3,"splitAngleDeg":{{splitDeg}},"splitAngleAtPeakDeg":{{splitDeg - 4}},"splitHoldFraction":0.21,
                "landingShockG":{"trunk":{{shockG}},"ankleLeft":null,"ankleRight":{{2.4 * shockG}} },"absorptionTimeS":0.14,"absorptionDepthM":0.12,"series":null,"grade":"A","quality":[],
                "uncertainty":{"flightTimeS":0.003,"heightM":0.006,"turnFlightDeg":2,"splitAngleDeg":3.5,"landingShockG":{"trunk":0.2} } }
                """),
        };
    }
}
