using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Service.Tests.Hosting;

namespace Saltograph.Service.Tests.Facts;

public sealed class DayLedgerTests
{
    private static readonly AthleteId Amber = new("amber");

    [Fact]
    public void Totals_are_sums_over_the_jumps()
    {
        var ledger = new DayLedger(TimeZoneInfo.Utc);
        ledger.Add(Amber, At("2027-03-01T10:00:00Z", Foot.Left, Foot.Right));
        ledger.Add(Amber, At("2027-03-01T10:00:05Z", Foot.Left, Foot.Left));
        var totals = ledger.Add(Amber, At("2027-03-01T10:00:09Z", Foot.Both, null));
        Assert.Equal(3, totals.Jumps);
        Assert.Equal(new FootCounts(2, 0, 1, 0), totals.Takeoffs);
        Assert.Equal(new FootCounts(1, 1, 0, 1), totals.Landings);
        Assert.Equal(3 * 0.4, totals.FlightTimeSumS, 1e-9);
        Assert.Equal(3 * 9.80665 * 0.4 * 0.4 / 8, totals.HeightSumM, 1e-9);
    }

    [Fact]
    public void A_new_day_begins_at_midnight_of_the_hall()
    {
        // Central Europe is one hour ahead of UTC in winter: 22:59 UTC is 23:59 there.
        var ledger = new DayLedger(TimeZoneInfo.FindSystemTimeZoneById("Europe/Vienna"));
        Assert.Equal(1, ledger.Add(Amber, At("2027-03-01T22:59:59Z")).Jumps);
        var next = ledger.Add(Amber, At("2027-03-01T23:00:01Z"));
        Assert.Equal(1, next.Jumps);
        Assert.Equal(new DateOnly(2027, 3, 2), next.Day);
    }

    [Fact]
    public void A_late_jump_of_the_day_before_does_not_take_the_totals_back()
    {
        var ledger = new DayLedger(TimeZoneInfo.Utc);
        ledger.Add(Amber, At("2027-03-02T10:00:00Z"));
        var totals = ledger.Add(Amber, At("2027-03-01T23:59:59Z"));
        Assert.Equal(1, totals.Jumps);
        Assert.Equal(new DateOnly(2027, 3, 2), totals.Day);
        Assert.Equal(2, ledger.Add(Amber, At("2027-03-02T10:00:05Z")).Jumps);
    }

    [Fact]
    public void Athletes_are_counted_apart()
    {
        var ledger = new DayLedger(TimeZoneInfo.Utc);
        ledger.Add(Amber, At("2027-03-01T10:00:00Z"));
        Assert.Null(ledger.Of(new("beryl")));
        Assert.Equal(1, ledger.Add(new("beryl"), At("2027-03-01T10:00:00Z")).Jumps);
    }

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
}
