using System.Globalization;
using Saltograph.Testing;

namespace Saltograph.Pipeline.Tests.Motion;

/// <summary>Flight times of motion capture against the weightless interval of its centre of mass.</summary>
public sealed class WeightlessIntervalTests
{
    // The positions are smoothed at 15 Hz and rounded to 0.1 mm: the second difference needs some width.
    private const int HalfWidth = 4;

    // Jumps of which the weightless interval is one stretch in the data (README of the folder).
    private static readonly int[] Compared = [1, 3, 5, 6, 7, 8, 10];

    [Theory]
    [InlineData("mocap-jumps/mocap_01_01")]
    [InlineData("mocap-jumps/mocap_01_01 with ankles")]
    public void Flights_of_captured_jumps_agree_with_the_weightless_interval(string recording)
    {
        Assert.SkipWhen(Recordings.Missing is not null, Recordings.Missing ?? string.Empty);

        // The interval is where the centre of mass falls with more than g/2; take-off and landing are where the floor gives nothing, some
        // 10 ms inside on either end.
        var table = SharedTable.Read(Repository.SharedPath("datasets", "mocap-jumps", "mocap_01_01.csv.gz"));
        var (times, heights) = (table["time_s"], table["com_ref_pos_z_m"]);
        var jumps = Recordings.Named(recording).Analyse(new()).Jumps;
        Assert.Equal(10, jumps.Count);
        var errorsMs = Compared.Select(number =>
        {
            var jump = jumps[number - 1];
            var middle = Array.FindIndex(times, time => time >= (jump.TakeoffTime.Seconds + jump.LandingTime.Seconds) / 2);
            return (Number: number, Ms: 1000 * (jump.FlightTimeS - (Edge(middle, 1) - Edge(middle, -1))));
        }).ToArray();
        TestContext.Current.TestOutputHelper?.WriteLine(string.Join(
            '\n', errorsMs.Select(error => string.Create(CultureInfo.InvariantCulture, $"jump {error.Number}: {error.Ms:F1} ms"))));
        Assert.All(errorsMs, error => Assert.InRange(error.Ms, -25, 25));

        double Edge(int middle, int direction)
        {
            const double level = -9.80665 / 2;
            var i = middle;
            while (Fall(i) < level)
            {
                i += direction;
            }

            var share = (level - Fall(i)) / (Fall(i - direction) - Fall(i));
            return times[i] + (share * (times[i - direction] - times[i]));
        }

        double Fall(int i)
        {
            var stepS = (times[i + HalfWidth] - times[i - HalfWidth]) / 2;
            return (heights[i + HalfWidth] - (2 * heights[i]) + heights[i - HalfWidth]) / (stepS * stepS);
        }
    }
}
