using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Store;

namespace Saltograph.Service.Tests.Facts;

/// <summary>The totals of the day, as a jump that is written changes them.</summary>
public sealed class DayLedgerTests : IDisposable
{
    private static readonly AthleteId Amber = new("amber");

    private readonly TemporaryFolder _folder = new();
    private readonly DayLedger _ledger = new();
    private int _number;

    [Fact]
    public async Task Totals_are_sums_over_the_jumps()
    {
        await using var store = await OpenAsync();
        await AddAsync(store, Amber, At("2027-03-01T10:00:00Z", Foot.Left, Foot.Right));
        await AddAsync(store, Amber, At("2027-03-01T10:00:05Z", Foot.Left, Foot.Left));
        var totals = await AddAsync(store, Amber, At("2027-03-01T10:00:09Z", Foot.Both, null));
        Assert.Equal(3, totals!.Jumps);
        Assert.Equal(new FootCounts(2, 0, 1, 0), totals.Takeoffs);
        Assert.Equal(new FootCounts(1, 1, 0, 1), totals.Landings);
        Assert.Equal(3 * 0.4, totals.FlightTimeSumS, 1e-9);
        Assert.Equal(3 * Math.Round(9.80665 * 0.4 * 0.4 / 8, 6), totals.HeightSumM, 1e-9); // records have six decimals
    }

    [Fact]
    public async Task A_new_day_begins_at_midnight_of_the_hall()
    {
        // Central Europe is one hour ahead of UTC in winter: 22:59 UTC is 23:59 there.
        await using var store = await OpenAsync();
        Assert.Equal(1, (await AddAsync(store, Amber, At("2027-03-01T22:59:59Z"), "Europe/Vienna"))!.Jumps);
        var next = await AddAsync(store, Amber, At("2027-03-01T23:00:01Z"), "Europe/Vienna");
        Assert.Equal(1, next!.Jumps);
        Assert.Equal(new DateOnly(2027, 3, 2), next.Day);
    }

    [Fact]
    public async Task A_late_jump_of_the_day_before_does_not_take_the_totals_back()
    {
        await using var store = await OpenAsync();
        await AddAsync(store, Amber, At("2027-03-02T10:00:00Z"));
        var totals = await AddAsync(store, Amber, At("2027-03-01T23:59:59Z"));
        Assert.Equal(1, totals!.Jumps);
        Assert.Equal(new DateOnly(2027, 3, 2), totals.Day);
        Assert.Equal(2, (await AddAsync(store, Amber, At("2027-03-02T10:00:05Z")))!.Jumps);
    }

    [Fact]
    public async Task Athletes_are_counted_apart()
    {
        await using var store = await OpenAsync();
        await AddAsync(store, Amber, At("2027-03-01T10:00:00Z"));
        Assert.Null(_ledger.Of(new("beryl")));
        Assert.Equal(1, (await AddAsync(store, new("beryl"), At("2027-03-01T10:00:00Z")))!.Jumps);
    }

    [Fact]
    public async Task A_jump_that_is_stored_already_is_told_to_nobody_and_counts_once()
    {
        await using var store = await OpenAsync();
        var writer = new FactWriter(new(TimeZoneInfo.Utc), _ledger, new(new("hall-1")), TimeProvider.System);
        for (var time = 1; time <= 2; time++)
        {
            var told = new List<Fact>();
            await store.WriteAsync(transaction => writer.WriteAsync(transaction, new JumpMeasured(Amber, "the-same", At("2027-03-01T10:00:00Z")), told), TestContext.Current.CancellationToken);
            Assert.Equal(time == 1 ? 2 : 0, told.Count); // the jump and the totals, then nothing
        }

        Assert.Equal(2, await store.Outbox.CountAsync(TestContext.Current.CancellationToken));
    }

    public void Dispose() => _folder.Dispose();

    private static JumpRecord At(string landing, Foot? takeoff = null, Foot? landingFoot = null)
    {
        var time = HallClock.Of(DateTimeOffset.Parse(landing, System.Globalization.CultureInfo.InvariantCulture));
        return ScriptedMeasuring.Record(1) with
        {
            TakeoffTime = time.PlusSeconds(-0.4),
            PeakTime = time.PlusSeconds(-0.2),
            LandingTime = time,
            TakeoffFoot = takeoff,
            LandingFoot = landingFoot,
        };
    }

    private Task<HallStore> OpenAsync() => HallStore.OpenAsync(new() { File = _folder.File("hall.db") }, TestContext.Current.CancellationToken);

    private async Task<DayTotals?> AddAsync(HallStore store, AthleteId athlete, JumpRecord jump, string zone = "UTC")
    {
        var writer = new FactWriter(new(TimeZoneInfo.FindSystemTimeZoneById(zone)), _ledger, null, TimeProvider.System);
        var told = new List<Fact>();
        await store.WriteAsync(
            transaction => writer.WriteAsync(transaction, new JumpMeasured(athlete, $"{athlete}.{++_number}", jump), told), TestContext.Current.CancellationToken);
        var totals = told.OfType<LoadChanged>().Single().Totals;
        _ledger.Set(athlete, totals);
        return totals;
    }
}
