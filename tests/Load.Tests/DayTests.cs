using FsCheck.Xunit;
using Saltograph.Imu;

namespace Saltograph.Load.Tests;

public sealed class DayTests
{
    // lambda = 2 / (N + 1): Williams, West, Cross and Stokes 2017.
    [Theory]
    [InlineData(7, 0.25)]
    [InlineData(28, 0.0689655)]
    public void The_newest_day_has_its_published_share(int days, double share) => Assert.Equal(share, LoadCurve.NewestDayShare(days), 1e-7);

    // 28 days of 100, then 300: by arithmetic from the published recursion, started with the first day.
    [Fact]
    public void A_step_moves_both_curves()
    {
        var last = LoadCurve.Of(Made.Days([.. Enumerable.Repeat(100.0, 28), 300]))[^1];
        Assert.Equal(150.000, last.Acute!.Value, 1e-6);
        Assert.Equal(113.793103, last.Chronic!.Value, 1e-6);
        Assert.Equal(1.318182, AcuteToChronic.DisplayRatio(last)!.Value, 1e-6);
    }

    // Three weeks of 100 and one of the same sum, told apart by the weighted curves and alike for plain means: by arithmetic;
    // the argument is that of Williams and others 2017 (their own daily loads were not found).
    [Theory]
    [InlineData("400,100,100,100,100,100,100", 0.998879)]
    [InlineData("142.857142857142857,142.857142857142857,142.857142857142857,142.857142857142857,142.857142857142857,142.857142857142857,142.857142857142857", 1.173425)]
    [InlineData("100,100,100,100,100,100,400", 1.450000)]
    public void Weeks_of_one_sum_differ_on_the_curves_only(string week, double ratio)
    {
        var days = Made.Days([.. Enumerable.Repeat(100.0, 21), .. Numbers(week)]);
        Assert.Equal(ratio, AcuteToChronic.DisplayRatio(LoadCurve.Of(days)[^1])!.Value, 1e-6);
        var (coupled, uncoupled) = AcuteToChronic.RollingForDisplay(days);
        Assert.Equal(1.290323, coupled!.Value, 1e-6);
        Assert.Equal(1.428571, uncoupled!.Value, 1e-6);
    }

    // coupled = 4 u / (3 + u), by arithmetic; the critique is Lolli 2019, and Windt and Gabbett 2019.
    [Theory]
    [InlineData(1.5, 1.33333333333)]
    [InlineData(2.0, 1.6)]
    public void A_coupled_ratio_lags_behind_the_uncoupled_one(double uncoupled, double coupled)
    {
        var ratios = AcuteToChronic.RollingForDisplay(Made.Days([.. Enumerable.Repeat(100.0, 21), .. Enumerable.Repeat(100 * uncoupled, 7)]));
        Assert.Equal(uncoupled, ratios.UncoupledRatio!.Value, 1e-9);
        Assert.Equal(coupled, ratios.CoupledRatio!.Value, 1e-9);
    }

    [Fact]
    public void Chronic_load_is_hidden_until_28_days_are_known()
    {
        var points = LoadCurve.Of(Made.Days(Enumerable.Repeat(100.0, 28)));
        Assert.All(points.SkipLast(1), point => Assert.Null(point.Chronic));
        Assert.NotNull(points[^1].Chronic);
        Assert.Null(AcuteToChronic.DisplayRatio(points[^2]));
    }

    [Fact]
    public void A_rest_day_lowers_the_curve_and_a_day_without_data_does_not()
    {
        var days = Made.Days([100, 100]);
        var next = Made.FirstDay.AddDays(2);
        Assert.Equal(75, LoadCurve.Of([.. days, DayEntry.Rest(next)])[^1].Acute);
        var missing = LoadCurve.Of([.. days, DayEntry.NoData(next)])[^1];
        Assert.Equal(100, missing.Acute);
        Assert.Equal((2, 1), (missing.KnownDays, missing.MissingIn28));

        // Days that nobody entered are days without data.
        var later = LoadCurve.Of([.. days, DayEntry.Partial(next.AddDays(2), 100)]);
        Assert.Equal([DayState.Data, DayState.Data, DayState.NoData, DayState.NoData, DayState.Partial], later.Select(point => point.Entry.State));
        Assert.Equal(1, later[^1].PartialIn28);
    }

    [Property]
    public void Curves_stay_between_the_smallest_and_the_largest_known_load((bool Known, byte Load)[] days)
    {
        var entries = days.Select((day, i) => day.Known ? DayEntry.Data(Made.FirstDay.AddDays(i), day.Load) : DayEntry.NoData(Made.FirstDay.AddDays(i))).ToArray();
        var known = new List<double>();
        foreach (var point in LoadCurve.Of(entries))
        {
            known.AddRange(point.Entry.Load is { } load ? [load] : []);
            Assert.Equal(known.Count == 0, point.Acute is null);
            foreach (var value in new[] { point.Acute, point.Chronic }.OfType<double>())
            {
                Assert.InRange(value, known.Min() - 1e-9, known.Max() + 1e-9);
            }
        }
    }

    // Monotony and strain after Foster 1998 and 2001. The first row's 0.94 stands in a public unit test of another program, at second hand;
    // all others by arithmetic.
    [Theory]
    [InlineData("50,0,100,50,0,150,0", 0.9354, 327.40, 0.8660, 303.11)]
    [InlineData("400,380,420,400,390,410,0", 2.4406, 5857.46, 2.2596, 5422.95)]
    public void Monotony_and_strain_come_with_both_deviations(string week, double overN, double strainOverN, double overLess, double strainOverLess)
    {
        var load = WeekLoad.Of(Made.Days(Numbers(week)), Made.FirstDay.AddDays(6));
        Assert.Equal(overN, load.MonotonyOverN!.Value, 1e-4);
        Assert.Equal(strainOverN, load.StrainOverN!.Value, 1e-2);
        Assert.Equal(overLess, load.MonotonyOverNMinus1!.Value, 1e-4);
        Assert.Equal(strainOverLess, load.StrainOverNMinus1!.Value, 1e-2);
    }

    [Fact]
    public void A_week_of_equal_days_has_no_monotony_and_a_week_with_a_hole_has_no_sum()
    {
        var days = Made.Days(Enumerable.Repeat(100.0, 14));
        var alike = WeekLoad.Of(days, Made.FirstDay.AddDays(13));
        Assert.Equal((700.0, 0.0, null, null), (alike.Sum, alike.ChangePercent, alike.MonotonyOverN, alike.StrainOverNMinus1));
        var holed = WeekLoad.Of(days, Made.FirstDay.AddDays(14));
        Assert.Equal((null, 1, 700.0, null), (holed.Sum, holed.MissingDays, holed.SumBefore, holed.Change));
    }

    [Fact]
    public void Days_that_cannot_be_are_refused()
    {
        Assert.Contains("load is -1; allowed", Assert.Throws<ArgumentOutOfRangeException>(() => DayEntry.Data(Made.FirstDay, -1)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => DayEntry.Partial(Made.FirstDay, double.NaN));
        var twice = Assert.Throws<ArgumentException>(() => LoadCurve.Of([DayEntry.Rest(Made.FirstDay), DayEntry.NoData(Made.FirstDay)]));
        Assert.Contains("2026-03-02 twice", twice.Message, StringComparison.Ordinal);
    }

    // Osteogenic index: Turner and Robling 2003 (formula from memory); examples by arithmetic.
    [Fact]
    public void Osteogenic_index_of_a_session_and_a_day()
    {
        Assert.Equal(14.3874, OsteogenicIndex.SessionBw(3, 120), 1e-4);
        Assert.Equal(0.7364, OsteogenicIndex.RecoveryShare(8 * 3600), 1e-4);
        var twice = new[] { new OsteogenicSession(Made.Start.PlusSeconds(8 * 3600), 3, 60), new OsteogenicSession(Made.Start, 3, 60) };
        Assert.Equal(21.4144, OsteogenicIndex.DayBw(twice), 1e-4);
    }

    // Weekly index 52.6 for 10 jumps on five days: Kishimoto and others 2012 (the force of 4.387 BW follows by arithmetic).
    [Fact]
    public void Osteogenic_index_of_a_week() => Assert.Equal(
        52.6,
        OsteogenicIndex.WeekBw(Enumerable.Range(0, 5).Select(day => new[] { new OsteogenicSession(Made.Start.PlusSeconds(day * 86400), 4.387, 10) })),
        0.02);

    // 5.0 x 219 min x 8.7 sessions = 9526, of the order of the 10381 AU a week of Debien and others 2020.
    [Fact]
    public void Session_load_is_exertion_times_minutes()
    {
        Assert.Equal(9526, 8.7 * SessionLoad.OfAu(5.0, 219)!.Value, 1.0);
        Assert.Null(SessionLoad.OfAu(null, 219));
        Assert.Contains("exertion is 11; allowed: 0 to 10", Assert.Throws<ArgumentOutOfRangeException>(() => SessionLoad.OfAu(11, 60)).Message, StringComparison.Ordinal);
    }

    private static IEnumerable<double> Numbers(string text) => text.Split(',').Select(number => double.Parse(number, null));
}
