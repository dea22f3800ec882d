using Saltograph.Imu;
using Saltograph.Jumps;

namespace Saltograph.Jumps.Tests;

/// <summary>What the body takes from the landing between ankle and trunk.</summary>
public sealed class ShockTransferTests
{
    // An ankle whose acceleration is three times the trunk's: 20 log10 (1/3) = -9.5424 dB at every frequency; twice, a quarter of the power: 10 log10 0.25 =
    // -6.0206 dB. In time 100 (1 - trunk / ankle) of the readings, which include the one g of standing (definitions, by arithmetic).
    [Theory]
    [InlineData(3, -9.5424)]
    [InlineData(2, -6.0206)]
    public void Shock_is_attenuated_in_time_and_in_the_band_of_the_impact(double ankleOverTrunk, double db)
    {
        var jump = Land(ankleOverTrunk, SampleMarks.None);
        Assert.Equal(Foot.Left, jump.LandingFoot);
        Assert.Equal(db, jump.ShockTransferDb!.Value, 0.001);
        var trunkG = jump.LandingShockG.TrunkG!.Value;
        var percent = 100 * (1 - (trunkG / (1 + (ankleOverTrunk * (trunkG - 1)))));
        Assert.Equal(percent, jump.ShockAttenuationPercent!.Value, 0.1);

        // Both shocks within their stated uncertainty: (1 - A) times the root of the squares of the two relative ones.
        var shock = jump.LandingShockG;
        var stated = jump.Uncertainty;
        Assert.Equal(
            (100 - percent) * Math.Sqrt(
                Math.Pow(stated.LandingShockG.TrunkG!.Value / shock.TrunkG!.Value, 2) + Math.Pow(stated.LandingShockG.AnkleLeftG!.Value / shock.AnkleLeftG!.Value, 2)),
            stated.ShockAttenuationPercent!.Value,
            0.1);
    }

    [Fact]
    public void A_reading_at_the_rail_has_no_spectrum()
    {
        var jump = Land(3, SampleMarks.AccelerometerSaturated);
        Assert.Null(jump.ShockTransferDb);
        Assert.NotNull(jump.ShockAttenuationPercent);
    }

    /// <summary>A landing on the left foot; the right leg is held still beside it and goes on through the air.</summary>
    private static JumpRecord Land(double ankleOverTrunk, SampleMarks atLanding)
    {
        // Stiff, so that the left foot stands when feet are told apart.
        var body = new TextbookJump { LandingS = 0.07 };
        var tracker = new JumpTracker(new());
        foreach (var site in new[] { Site.Trunk, Site.AnkleLeft, Site.AnkleRight })
        {
            tracker.SetSampleRate(site, body.SampleRateHz);
        }

        var facts = new JumpFacts();
        foreach (var sample in body.Samples())
        {
            var sinceLandingS = sample.Time.Seconds - body.LandingTimeS;
            var standing = new Vector3D(0, 0, Gravity.StandardMps2);
            var ankle = sinceLandingS < -body.FlightTimeS
                ? sample.SpecificForceSensorMps2
                : standing + (ankleOverTrunk * (sample.SpecificForceSensorMps2 - standing));
            var swing = sinceLandingS is > -0.1 and < 0.25 ? new Vector3D(40, 0, 0) : Vector3D.Zero;
            tracker.Push(Site.AnkleLeft, sample with { SpecificForceSensorMps2 = ankle, Marks = sinceLandingS is > 0.05 and < 0.06 ? atLanding : SampleMarks.None }, facts);
            tracker.Push(Site.AnkleRight, sample with { SpecificForceSensorMps2 = sample.SpecificForceSensorMps2 + swing }, facts);
            tracker.Push(Site.Trunk, sample, facts);
        }

        tracker.Complete(facts);
        return Assert.Single(facts.Jumps);
    }
}
