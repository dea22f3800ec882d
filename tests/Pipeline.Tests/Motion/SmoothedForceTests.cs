using System.Globalization;
using Saltograph.Imu;
using Saltograph.Signals;
using Saltograph.Testing;

namespace Saltograph.Pipeline.Tests.Motion;

/// <summary>Force plates whose data went through a low pass, as those of motion capture and of some sensors do: the events are still those of the plates.</summary>
public sealed class SmoothedForceTests
{
    // Carried on to zero force, as whole data are, flights came out shorter by 49 ms (10 Hz), 29 (15) and 20 (20) at worst.
    [Theory]
    [InlineData(10)]
    [InlineData(15)]
    [InlineData(20)]
    [InlineData(30)]
    public void Flight_times_of_smoothed_plates_stay_within_25_ms(double cutoffHz)
    {
        Assert.SkipWhen(Recordings.Missing is not null, Recordings.Missing ?? string.Empty);
        var errorsMs = new List<double>();
        foreach (var folder in new[] { "grf-jump-series", "grf-jump-ufsm", "grf-jump-bmclab" })
        {
            foreach (var trial in RecordedJumpsTests.Events(folder).GroupBy(jump => jump.Trial, StringComparer.Ordinal))
            {
                var found = Smoothed(Recordings.Named($"{folder}/{trial.Key}"), cutoffHz).Analyse(new()).Jumps;
                Assert.Equal(trial.Count(), found.Count);
                errorsMs.AddRange(trial.Zip(found, (plate, jump) => 1000 * (jump.FlightTimeS - (plate.LandingS - plate.TakeoffS))));
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine(string.Create(
            CultureInfo.InvariantCulture, $"{cutoffHz} Hz, {errorsMs.Count} jumps: mean {errorsMs.Average():F1} ms, worst {errorsMs.Max(Math.Abs):F1} ms"));
        Assert.Equal(14, errorsMs.Count);
        Assert.All(errorsMs, error => Assert.InRange(error, -25, 25));
    }

    private static Recording Smoothed(Recording recording, double cutoffHz)
    {
        var samples = recording.Samples[Site.Trunk];
        var up = samples.Select(sample => sample.SpecificForceSensorMps2.Z).ToArray();
        ForwardBackward.Apply(BiquadCoefficients.ButterworthLowPass(cutoffHz, (samples.Length - 1) / (samples[^1].Time - samples[0].Time)), up);
        return recording with
        {
            Samples = new Dictionary<Site, ImuSample[]>
            {
                [Site.Trunk] = [.. samples.Zip(up, (sample, z) => sample with { SpecificForceSensorMps2 = sample.SpecificForceSensorMps2 with { Z = z } })],
            },
        };
    }
}
