using FsCheck;
using FsCheck.Fluent;
using FsCheck.Xunit;
using Saltograph.Board.Live;
using Saltograph.Imu;

namespace Saltograph.Board.Tests;

/// <summary>The strip of a card.</summary>
public sealed class StripSweepTests
{
    private static MotionBin Rest(long index) => new(index, 0, 0, 0);

    [Fact]
    public void A_tick_within_a_piece_changes_that_piece_only()
    {
        var sweep = new StripSweep();
        sweep.Add([.. Enumerable.Range(0, 305).Select(i => Rest(i))]);
        var before = sweep.Frame();
        sweep.Add([.. Enumerable.Range(305, 4).Select(i => Rest(i))]);
        var after = sweep.Frame();
        Assert.Equal(1, Enumerable.Range(0, StripSweep.Pieces).Count(i => before.Vertical[i] != after.Vertical[i]));
        Assert.Equal(1, Enumerable.Range(0, StripSweep.Pieces).Count(i => before.Turn[i] != after.Turn[i]));
    }

    // g = 9.80665 m/s2 by definition (3rd CGPM, 1901): free flight is one g below rest.
    [Fact]
    public void Free_flight_lies_one_g_below_rest_and_up_is_up()
    {
        var gPerUnit = (StripSweep.MostG - StripSweep.LeastG) / StripSweep.VerticalHeight;
        Assert.Equal(1, (StripSweep.VerticalY(-1) - StripSweep.VerticalY(0)) * gPerUnit, 12);
        Assert.True(StripSweep.VerticalY(3) < StripSweep.VerticalY(0));
        Assert.True(StripSweep.TurnY(100) < StripSweep.TurnY(-100));
    }

    [Fact]
    public void After_a_silence_nothing_old_is_left()
    {
        var sweep = new StripSweep();
        sweep.Add([.. Enumerable.Range(0, 320).Select(i => Rest(i))]);
        sweep.Add([Rest(100_000)]);
        Assert.Equal(1, sweep.Frame().Vertical.Count(path => path.Length > 0));
    }

    [Property]
    public Property Everything_drawn_lies_inside_the_bands(NormalFloat[] values)
    {
        var sweep = new StripSweep();
        sweep.Add([.. values.Select((value, i) => new MotionBin(1000 + i, Math.Min(value.Get, 0), Math.Max(value.Get, 0), value.Get))]);
        var frame = sweep.Frame();
        var points = frame.Vertical.Concat(frame.Turn)
            .SelectMany(path => path.Split(['M', 'L'], StringSplitOptions.RemoveEmptyEntries))
            .Select(point => point.Split(' ').Select(number => double.Parse(number, System.Globalization.CultureInfo.InvariantCulture)).ToArray());
        return points.All(point => point[0] is >= 0 and <= StripSweep.Width && point[1] is >= 0 and <= StripSweep.VerticalHeight).ToProperty();
    }

    [Fact]
    public void Samples_become_bins_of_25_ms_with_their_extremes_and_mean_turn()
    {
        var bins = new MotionBins();
        bins.Add(0, 1, 10);
        bins.Add(10_000, -3, 20);
        bins.Add(24_999, 2, 30);
        Assert.Empty(bins.Take());
        bins.Add(25_000, 0, 0);
        Assert.Equal(new MotionBin(0, -3, 2, 20), Assert.Single(bins.Take()));
        Assert.Empty(bins.Take());
    }

    [Fact]
    public void Sites_have_a_short_name_each()
    {
        var words = new Text.Words();
        Assert.All(Enum.GetValues<Site>(), site => Assert.True(words.Has($"site.{site.Name()}.short")));
    }
}
