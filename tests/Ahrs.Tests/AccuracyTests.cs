using Saltograph.Imu;

namespace Saltograph.Ahrs.Tests;

/// <summary>
/// Errors against truth. BROAD: D. Laidig, M. Caruso, A. Cereatti, T. Seel, Data 6(7):72, 2021, optical truth; reference
/// figures: the authors' VQF 2.1.1 on the same 20 trials. Settings were chosen on every second trial and sequence b.
/// </summary>
public sealed class AccuracyTests
{
    /// <summary>Reference VQF 9D and 9D offline, per trial: total / heading / inclination, degrees.</summary>
    private static readonly (string Trial, OrientationErrors Online, OrientationErrors Offline)[] Reference =
    [
        ("01", new(1.99, 1.90, 0.60), new(3.37, 3.35, 0.37)),
        ("03", new(1.93, 1.88, 0.42), new(1.35, 1.29, 0.39)),
        ("04", new(1.08, 0.73, 0.79), new(1.86, 1.81, 0.41)),
        ("06", new(4.04, 3.96, 0.80), new(4.11, 4.04, 0.75)),
        ("07", new(1.75, 1.43, 1.02), new(1.71, 1.41, 0.96)),
        ("09", new(1.49, 1.20, 0.87), new(1.52, 1.26, 0.84)),
        ("10", new(1.80, 1.78, 0.30), new(2.10, 2.08, 0.25)),
        ("12", new(1.35, 1.33, 0.26), new(0.62, 0.59, 0.19)),
        ("14", new(0.73, 0.60, 0.41), new(0.36, 0.27, 0.24)),
        ("16", new(0.74, 0.51, 0.54), new(0.58, 0.39, 0.43)),
        ("18", new(0.81, 0.53, 0.61), new(0.68, 0.41, 0.54)),
        ("21", new(4.08, 3.70, 1.72), new(5.24, 5.15, 0.95)),
        ("24", new(1.55, 1.42, 0.61), new(1.16, 1.04, 0.51)),
        ("26", new(1.75, 1.66, 0.56), new(1.47, 1.38, 0.51)),
        ("28", new(4.04, 3.86, 1.21), new(2.38, 2.24, 0.80)),
        ("30", new(2.57, 2.25, 1.25), new(4.30, 4.18, 0.99)),
        ("32", new(7.67, 7.65, 0.56), new(1.71, 1.67, 0.37)),
        ("33", new(3.74, 3.69, 0.60), new(1.81, 1.77, 0.39)),
        ("35", new(1.09, 0.86, 0.66), new(1.41, 1.34, 0.43)),
        ("36", new(2.39, 2.22, 0.88), new(3.25, 3.21, 0.55)),
    ];

    [Fact]
    public void Vqf_reaches_the_published_errors_on_every_trial()
    {
        Shared.Require("datasets", "broad");
        foreach (var name in Recording.BroadNames())
        {
            var expected = Reference.Single(r => name.StartsWith(r.Trial, StringComparison.Ordinal));
            var recording = Recording.Broad(name);
            var online = OrientationErrors.Of(recording, Run(new VqfFilter(new(), recording.RateHz), recording, magnetic: true), freeHeading: false);
            Near(expected.Online, online, name);
            var offline = VqfOffline.Run(new(), recording.RateHz, recording.AngularRate, recording.SpecificForce, recording.MagneticField);
            Near(expected.Offline, OrientationErrors.Of(recording, offline.EarthFromSensor, freeHeading: false), name);
        }
    }

    [Fact]
    public void Athlete_filter_is_not_worse_than_vqf_on_ordinary_motion()
    {
        Shared.Require("datasets", "broad");
        var causal = new List<double>();
        var smoothed = new List<double>();
        foreach (var name in Recording.BroadNames())
        {
            var recording = Recording.Broad(name);
            var (c, s) = Athlete(recording);
            causal.Add(c);
            smoothed.Add(s);
        }

        Assert.InRange(causal.Average(), 0, 0.73);
        Assert.InRange(smoothed.Average(), 0, 0.54);
    }

    [Theory]
    [InlineData("b_flight_500hz")]
    [InlineData("b2_flight_lever_500hz")]
    public void Athlete_filter_keeps_the_inclination_through_travel_flight_and_landing(string sequence)
    {
        Shared.Require("golden", "ahrs");
        var (causal, smoothed) = Athlete(Recording.Golden(sequence));
        Assert.InRange(causal, 0, 0.5);
        Assert.InRange(smoothed, 0, 0.3);
    }

    [Fact]
    public void Athlete_filter_keeps_the_inclination_in_smooth_rotation()
    {
        Shared.Require("golden", "ahrs");
        var (causal, smoothed) = Athlete(Recording.Golden("a_smooth_100hz"));
        Assert.InRange(causal, 0, 0.2);
        Assert.InRange(smoothed, 0, 0.1);
    }

    [Fact]
    public void Offline_heading_improves_when_either_direction_may_call_a_sample_disturbed()
    {
        Shared.Require("golden", "ahrs");
        var recording = Recording.Golden("a_smooth_100hz");
        var both = VqfOffline.Run(new(), 100, recording.AngularRate, recording.SpecificForce, recording.MagneticField);
        var either = VqfOffline.Run(
            new() { OfflineEitherDirectionDisturbed = true }, 100, recording.AngularRate, recording.SpecificForce, recording.MagneticField);
        Assert.InRange(OrientationErrors.Of(recording, both.EarthFromSensor, freeHeading: false).HeadingDeg, 0.8, 1.0);
        Assert.InRange(OrientationErrors.Of(recording, either.EarthFromSensor, freeHeading: false).HeadingDeg, 0, 0.15);
    }

    internal static Rotation[] Run(OrientationFilter filter, Recording recording, bool magnetic)
    {
        var result = new Rotation[recording.Length];
        for (var i = 0; i < result.Length; i++)
        {
            _ = magnetic
                ? filter.Update(recording.AngularRate[i], recording.SpecificForce[i], recording.MagneticField[i])
                : filter.Update(recording.AngularRate[i], recording.SpecificForce[i]);
            result[i] = filter.EarthFromSensor;
        }

        return result;
    }

    private static (double Causal, double Smoothed) Athlete(Recording recording)
    {
        var causal = Run(new AthleteFilter(new(), recording.RateHz), recording, magnetic: false);
        var smoothed = AthleteSmoother.Run(new(), recording.RateHz, recording.AngularRate, recording.SpecificForce);
        return (
            OrientationErrors.Of(recording, causal, freeHeading: true).InclinationDeg,
            OrientationErrors.Of(recording, smoothed.EarthFromSensor, freeHeading: true).InclinationDeg);
    }

    private static void Near(OrientationErrors expected, OrientationErrors actual, string name)
    {
        // 0.01 deg against figures that are themselves rounded to 0.01 deg.
        Assert.True(Math.Abs(expected.TotalDeg - actual.TotalDeg) <= 0.01, $"{name}: total {actual.TotalDeg}, reference {expected.TotalDeg}");
        Assert.True(Math.Abs(expected.HeadingDeg - actual.HeadingDeg) <= 0.01, $"{name}: heading {actual.HeadingDeg}, reference {expected.HeadingDeg}");
        Assert.True(Math.Abs(expected.InclinationDeg - actual.InclinationDeg) <= 0.01, $"{name}: inclination {actual.InclinationDeg}, reference {expected.InclinationDeg}");
    }
}
