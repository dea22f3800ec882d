using FsCheck.Fluent;
using FsCheck.Xunit;
using Saltograph.Imu;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Tests.Recordings;

public sealed class RecordingMergeTests
{
    [Property(MaxTest = 200)]
    public FsCheck.Property Every_received_sample_comes_out_once_in_the_order_of_time() => Prop.ForAll(
        Gen.Choose(1, 50).ArrayOf().ToArbitrary(),
        Gen.Choose(1, 50).ArrayOf().ToArbitrary(),
        (trunkSteps, ankleSteps) =>
        {
            var recordings = new Dictionary<Site, Recording> { [Site.AnkleRight] = Of(ankleSteps), [Site.Trunk] = Of(trunkSteps) };
            var merged = RecordingMerge.InOrderOfTime(recordings).ToArray();
            var times = merged.Select(item => item.Sample.Time).ToArray();
            return times.SequenceEqual(times.Order())
                && Received(recordings[Site.Trunk]).SequenceEqual(merged.Where(item => item.Site == Site.Trunk).Select(item => item.Sample.Time))
                && Received(recordings[Site.AnkleRight]).SequenceEqual(merged.Where(item => item.Site == Site.AnkleRight).Select(item => item.Sample.Time));
        });

    [Fact]
    public void At_the_same_time_the_trunk_comes_first()
    {
        var recordings = new Dictionary<Site, Recording> { [Site.AnkleLeft] = Of([1]), [Site.Trunk] = Of([1]) };
        Assert.Equal([Site.Trunk, Site.AnkleLeft], RecordingMerge.InOrderOfTime(recordings).Select(item => item.Site));
    }

    private static IEnumerable<SampleTime> Received(Recording recording) =>
        recording.TimesS.Where((_, row) => !recording.Lost[row]).Select(SampleTime.FromSeconds);

    // Steps in hundredths of a second; a row is lost when its step is divisible by seven.
    private static Recording Of(int[] steps)
    {
        var times = new double[steps.Length];
        for (var i = 0; i < steps.Length; i++)
        {
            times[i] = (i > 0 ? times[i - 1] : 0) + (steps[i] / 100.0);
        }

        return new()
        {
            Reference = new("generated", null),
            TimesS = times,
            SpecificForcesSensorMps2 = new Vector3D[steps.Length],
            AngularRatesSensorRadps = new Vector3D[steps.Length],
            Lost = [.. steps.Select(step => step % 7 == 0)],
            Marks = new SampleMarks[steps.Length],
            SampleRateHz = 100,
        };
    }
}
