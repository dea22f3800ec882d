using Saltograph.Imu;

namespace Saltograph.Ahrs.Tests;

public sealed class OrientationRunTests
{
    private const double RateHz = 100;

    public static TheoryData<OrientationMethod, bool> Ways => new()
    {
        { OrientationMethod.Vqf, false }, { OrientationMethod.Vqf, true }, { OrientationMethod.Athlete, false },
        { OrientationMethod.Athlete, true }, { OrientationMethod.Mahony, false }, { OrientationMethod.Madgwick, false },
    };

    [Theory]
    [MemberData(nameof(Ways))]
    public void Every_row_gets_an_orientation_and_a_gap_is_carried_on(OrientationMethod method, bool offline)
    {
        // A steady turn of 60 deg/s about the vertical; 0.1 s of it is lost in the middle, once as rows without a sample
        // and once as rows that are not there.
        var times = Enumerable.Range(0, 600).Where(i => i is < 400 or >= 410).Select(i => i / RateHz).ToArray();
        var lost = times.Select(t => t is >= 2 and < 2.1).ToArray();
        var rates = times.Select((_, i) => lost[i] ? new Vector3D(double.NaN, 0, 0) : new(0, 0, Math.PI / 3)).ToArray();
        var forces = times.Select(_ => new Vector3D(0, 0, 9.81)).ToArray();
        var rows = new OrientationRows { TimesS = times, AngularRatesRadps = rates, SpecificForcesMps2 = forces, Lost = lost };
        var series = OrientationRun.Run(new() { Method = method, Offline = offline }, rows, RateHz);

        Assert.Equal(times.Length, series.Length);
        var turned = 0.0;
        for (var i = 1; i < series.Length; i++)
        {
            turned += Angles.WrapRad(series.EarthFromSensor[i].HeadingRad - series.EarthFromSensor[i - 1].HeadingRad);
            Assert.Equal((times[i] - times[1]) * 60, (turned * Angles.DegPerRad) - ((times[1] - times[0]) * 60), 2.0);
        }
    }

    [Theory]
    [MemberData(nameof(Ways))]
    public void A_start_in_free_flight_and_a_reading_that_cannot_be_do_no_harm(OrientationMethod method, bool offline)
    {
        var times = Enumerable.Range(0, 600).Select(i => i / RateHz).ToArray();
        var forces = times.Select((t, i) => t < 0.4 ? Vector3D.Zero : i == 300 ? new(0, 0, 1e30) : new Vector3D(0, 0, 9.8)).ToArray();
        var rows = new OrientationRows
        {
            TimesS = times,
            AngularRatesRadps = [.. times.Select(_ => new Vector3D(0, 0, 0.5))],
            SpecificForcesMps2 = forces,
        };
        var series = OrientationRun.Run(new() { Method = method, Offline = offline }, rows, RateHz);
        Assert.Equal(0.5 * 5.99 * Angles.DegPerRad, (series.EarthFromSensor[^1] * series.EarthFromSensor[0].Inverse).HeadingRad * Angles.DegPerRad, 1.0);
        Assert.InRange((series.EarthFromSensor[^1].Rotate(forces[^1]) - new Vector3D(0, 0, 9.8)).Length, 0, 0.1);
    }

    [Fact]
    public void Lost_rows_at_either_end_keep_the_nearest_orientation()
    {
        var times = Enumerable.Range(0, 100).Select(i => i / RateHz).ToArray();
        var rows = new OrientationRows
        {
            TimesS = times,
            AngularRatesRadps = [.. times.Select(_ => Vector3D.Zero)],
            SpecificForcesMps2 = [.. times.Select(_ => new Vector3D(0, 9.81, 0))],
            Lost = [.. times.Select((_, i) => i is < 5 or > 90)],
        };
        var series = OrientationRun.Run(new(), rows, RateHz);
        Assert.Equal(series.EarthFromSensor[5], series.EarthFromSensor[0]);
        Assert.Equal(series.EarthFromSensor[90], series.EarthFromSensor[99]);
    }

    [Fact]
    public void A_filter_without_an_offline_form_is_refused_by_name()
    {
        var problem = Assert.Throws<ArgumentException>(() => OrientationRun.Run(
            new() { Method = OrientationMethod.Mahony, Offline = true },
            new() { TimesS = [0], AngularRatesRadps = [default], SpecificForcesMps2 = [default] },
            RateHz));
        Assert.Contains("Mahony has no offline form; allowed: Vqf, Athlete.", problem.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Rows_that_are_all_lost_are_refused()
    {
        var problem = Assert.Throws<ArgumentException>(() => OrientationRun.Run(
            new(), new() { TimesS = [0], AngularRatesRadps = [default], SpecificForcesMps2 = [default], Lost = [true] }, RateHz));
        Assert.Contains("All 1 rows are lost", problem.Message, StringComparison.Ordinal);
    }
}
