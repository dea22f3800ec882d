using System.Diagnostics;
using System.Globalization;
using Saltograph.Store;
using Saltograph.Store.Rows;

namespace Saltograph.Benchmarks;

/// <summary>28 days of 20 athletes with 150 jumps a day in the embedded database: how long writing and the questions of load take.</summary>
internal static class StoreQueries
{
    private const int Days = 28;
    private const int Athletes = 20;
    private const int JumpsPerDay = 150;
    private const int Repeats = 31;
    private const long FirstUs = 1_800_000_000_000_000;
    private const string FirstDay = "2027-01-15", LastDay = "2027-02-11";

    public static async Task<int> RunAsync()
    {
        var folder = Directory.CreateTempSubdirectory("saltograph-benchmark-");
        try
        {
            await using var store = await HallStore.OpenAsync(new() { File = Path.Combine(folder.FullName, "hall.db") });
            var clock = Stopwatch.StartNew();
            foreach (var some in Jumps().Chunk(500))
            {
                await store.WriteAsync(async transaction =>
                {
                    foreach (var jump in some)
                    {
                        await transaction.AddJumpAsync(jump);
                    }
                });
            }

            const int Total = Days * Athletes * JumpsPerDay;
            Console.WriteLine(FormattableString.Invariant(
                $"{Total} jumps in the embedded database, {Environment.ProcessorCount} cores; written with records at {Total / clock.Elapsed.TotalSeconds:0} per second, 500 in a transaction"));
            Console.WriteLine("question                                       rows  median ms  worst ms");
            await AskAsync("one athlete, sums of 28 days", async () => (await store.Load.DaysAsync("athlete-7", FirstDay, LastDay)).Count);
            await AskAsync("one athlete, every jump of 28 days", async () => (await store.Load.PointsAsync("athlete-7", FirstDay, LastDay)).Count);
            await AskAsync("squad, sums of 28 days", async () => (await store.Load.DaysAsync(null, FirstDay, LastDay)).Count);
            await AskAsync("squad, every jump of 28 days", async () => (await store.Load.PointsAsync(null, FirstDay, LastDay)).Count);
            await AskAsync("one athlete, latest 100 whole records", async () => (await store.Jumps.PageAsync(new() { Athlete = "athlete-7", NewestFirst = true })).Jumps.Count);
            await AskAsync("squad, 100 whole records in the middle", async () => (await store.Jumps.PageAsync(new() { FromUs = FirstUs + (14 * 86_400_000_000L) })).Jumps.Count);
            var next = 0;
            await AskAsync("one jump written, on the disk", async () =>
            {
                await store.WriteAsync(transaction => transaction.AddJumpAsync(Jump(1, Days, next++)));
                return 1;
            });
            return 0;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static async Task AskAsync(string question, Func<Task<int>> ask)
    {
        var rows = await ask();
        var times = new List<double>();
        for (var i = 0; i < Repeats; i++)
        {
            var clock = Stopwatch.StartNew();
            await ask();
            times.Add(clock.Elapsed.TotalMilliseconds);
        }

        times.Sort();
        Console.WriteLine(FormattableString.Invariant($"{question,-44} {rows,6}  {times[Repeats / 2],9:0.00}  {times[^1],8:0.00}"));
    }

    private static IEnumerable<JumpRow> Jumps() =>
        from day in Enumerable.Range(0, Days)
        from athlete in Enumerable.Range(1, Athletes)
        from jump in Enumerable.Range(0, JumpsPerDay)
        select Jump(athlete, day, jump);

    private static JumpRow Jump(int athlete, int day, int jump)
    {
        var landingUs = FirstUs + (day * 86_400_000_000L) + (jump * 48_000_000L) + athlete;
        return new()
        {
            Id = string.Create(CultureInfo.InvariantCulture, $"athlete-{athlete}.trunk.{day}.{landingUs}"),
            Athlete = string.Create(CultureInfo.InvariantCulture, $"athlete-{athlete}"),
            Day = new DateOnly(2027, 1, 15).AddDays(day).ToString("O", CultureInfo.InvariantCulture),
            Number = jump,
            TakeoffUs = landingUs - 400_000,
            LandingUs = landingUs,
            Form = jump % 3 == 0 ? "hop" : "leap",
            TakeoffFoot = jump % 2 == 0 ? "left" : "right",
            LandingFoot = jump % 5 == 0 ? "left" : "right",
            FlightTimeS = 0.4 + (jump * 0.0001),
            HeightM = 0.2 + (jump * 0.0001),
            ShockTrunkG = 5,
            ShockAnkleLeftG = 10,
            Grade = "A",
            Record = new string('x', 1500), // about the length of a record
        };
    }
}
