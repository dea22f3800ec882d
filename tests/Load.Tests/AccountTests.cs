using FsCheck.Xunit;
using Saltograph.Imu;

namespace Saltograph.Load.Tests;

public sealed class AccountTests
{
    private static readonly AccountOptions Options = new();

    [Fact]
    public void Jumps_are_counted_by_leg_form_and_band()
    {
        CountedJump[] jumps =
        [
            Made.Jump(1, 4) with { HeightM = 0.10 },
            Made.Jump(2, 12, leg: Leg.Right) with { HeightM = 0.45, Form = ElementForm.Hop },
            Made.Jump(3, 40, saturated: true) with { HeightM = null },
            Made.Jump(4, null, leg: null) with { Form = null },
        ];
        var account = Assert.Single(Accounting.Of(jumps, Options with { ShockExponent = 2 }, new Dictionary<AthleteId, double> { [Made.Athlete] = 0.5 }));
        Assert.Equal(4, account.Jumps);
        Assert.Equal(new LegCounts(2, 1, 0, 1), account.Landings);
        Assert.Equal([new(ElementForm.Leap, 2), new(ElementForm.Hop, 1), new(null, 1)], account.Forms);
        Assert.Equal([0, 1, 0, 1, 1], account.HeightBands.Select(band => band.Jumps));
        Assert.Equal((1, 1), (account.HeightUnmeasured, account.ShockUnmeasured));
        Assert.Equal(0.85, account.HeightSumM, 1e-12);
        Assert.Equal(2, account.AboveShareOfBest);
        Assert.Equal([1, 0, 1, 0, 1], account.ShockBands.Select(band => band.Landings));
        Assert.Equal(new(Site.AnkleLeft, 2, 16 + 1600, 2, 1), account.ShockSums[(int)Site.AnkleLeft]);
        Assert.Equal(new(Site.AnkleRight, 2, 144, 1, 0), account.ShockSums[(int)Site.AnkleRight]);
        Assert.Equal(0, account.ShockSums[(int)Site.Trunk].Landings);
    }

    // 119 jumps at 8.6 to 9.2 a minute: a ballet class of Maloney and others 2024; 13.4 min of jumping by arithmetic.
    [Fact]
    public void Rates_are_per_minute_of_a_stretch_that_the_caller_names()
    {
        var account = Assert.Single(Accounting.Of(Enumerable.Range(0, 119).Select(i => Made.Jump(i, atS: i * 6.7)), Options));
        Assert.InRange(account.RatePerMinute(13.4 * 60)!.Value, 8.6, 9.2);
        Assert.Null(account.RatePerMinute(0));
        Assert.Equal(9, account.MostInOneMinute);
    }

    [Property]
    public void Order_and_doubles_change_nothing(byte[] shocks, int seed)
    {
        var jumps = shocks.Select((shock, i) => Made.Jump(i, 0.1 + shock, leg: shock % 2 == 0 ? Leg.Left : Leg.Right) with { HeightM = shock * 0.0017 }).ToArray();
        CountedJump[] shuffled = [.. jumps, .. jumps];
        new Random(seed).Shuffle(shuffled);
        Assert.Equivalent(Accounting.Of(jumps, Options), Accounting.Of(shuffled, Options), strict: true);
        foreach (var account in Accounting.Of(jumps, Options))
        {
            Assert.Equal(account.Jumps, account.HeightBands.Sum(band => band.Jumps) + account.HeightUnmeasured);
            Assert.Equal(account.Jumps, account.ShockBands.Sum(band => band.Landings) + account.ShockUnmeasured);
        }
    }

    [Fact]
    public void Bands_that_do_not_rise_are_refused_by_place()
    {
        var refusal = Assert.Throws<ArgumentException>(() => Accounting.Of([], Options with { HeightBandEdgesM = [0.2, 0.1], ShockExponent = 7 }));
        Assert.Contains("HeightBandEdgesM[1] is 0.1; allowed: above 0.2, up to 3.", refusal.Message, StringComparison.Ordinal);
        Assert.Contains("ShockExponent is 7; allowed: 1 to 6.", refusal.Message, StringComparison.Ordinal);
    }
}
