using Saltograph.Store.Queries;
using Saltograph.Store.Rows;

namespace Saltograph.Store.Tests;

/// <summary>The same randomised week on both engines gives the same answers, to the last bit, in whatever order it was written.</summary>
public sealed class SameAnswersTests(Engines engines) : IClassFixture<Engines>, IDisposable
{
    private readonly TemporaryFolder _folder = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_week_of_twelve_athletes_is_the_same_on_both_engines()
    {
        var week = MadeUp.Week(seed: 12, athletes: 12, jumpsPerDay: 40).ToList();
        await using var embedded = await HallStore.OpenAsync(await engines.EmptyAsync(StoreOptions.Sqlite, _folder), Stop);
        await using var server = await HallStore.OpenAsync(await engines.EmptyAsync(StoreOptions.PostgreSql, _folder), Stop);
        await StoreTests.AddAsync(embedded, week);
        await StoreTests.AddAsync(server, Enumerable.Reverse(week));

        Assert.Equal(await embedded.Load.DaysAsync(null, "2027-01-15", "2027-01-21", Stop), await server.Load.DaysAsync(null, "2027-01-15", "2027-01-21", Stop));
        Assert.Equal(await embedded.Load.PointsAsync(null, "2027-01-16", "2027-01-18", Stop), await server.Load.PointsAsync(null, "2027-01-16", "2027-01-18", Stop));
        Assert.Equal(await AllAsync(embedded), await AllAsync(server));
    }

    // Against the definition, summed here over the rows themselves.
    [Theory]
    [InlineData(StoreOptions.Sqlite)]
    [InlineData(StoreOptions.PostgreSql)]
    public async Task Days_are_counts_and_exact_sums_over_their_jumps(string kind)
    {
        var week = MadeUp.Week(seed: 5, athletes: 3, jumpsPerDay: 30).ToList();
        await using var store = await HallStore.OpenAsync(await engines.EmptyAsync(kind, _folder), Stop);
        await StoreTests.AddAsync(store, week);
        var expected = week.GroupBy(row => (row.Athlete, row.Day)).Select(day => new DayLoad(
            day.Key.Athlete,
            day.Key.Day,
            day.Count(),
            Feet(day.Select(row => row.TakeoffFoot)),
            Feet(day.Select(row => row.LandingFoot)),
            (double)day.Sum(row => (decimal)row.HeightM),
            (double)day.Sum(row => (decimal)row.FlightTimeS),
            day.Min(row => row.LandingUs),
            day.Max(row => row.LandingUs)));
        Assert.Equal(expected, await store.Load.DaysAsync(null, "2027-01-15", "2027-01-21", Stop));
        var athlete = await store.Load.DaysAsync("athlete-2", "2027-01-15", "2027-01-21", Stop);
        Assert.All(athlete, day => Assert.Equal("athlete-2", day.Athlete));
        Assert.Equal(athlete[0], await store.WriteAsync(transaction => transaction.DayLoadAsync("athlete-2", athlete[0].Day), Stop));
        var nothing = await store.WriteAsync(transaction => transaction.DayLoadAsync("athlete-2", "2026-01-01"), Stop);
        Assert.Equal(new("athlete-2", "2026-01-01", 0, default, default, 0, 0, null, null), nothing);
    }

    public void Dispose() => _folder.Dispose();

    private static FootLoad Feet(IEnumerable<string?> feet)
    {
        var counts = feet.ToLookup(foot => foot ?? "", StringComparer.Ordinal);
        return new(counts["left"].Count(), counts["right"].Count(), counts["both"].Count(), counts[""].Count());
    }

    private static async Task<List<JumpRow>> AllAsync(HallStore store)
    {
        var found = new List<JumpRow>();
        var filter = new JumpFilter { Limit = 500 };
        do
        {
            var page = await store.Jumps.PageAsync(filter, Stop);
            found.AddRange(page.Jumps);
            filter = filter with { After = page.Next };
        }
        while (filter.After is not null);
        return found;
    }
}
