using FsCheck.Xunit;
using Saltograph.Imu;

namespace Saltograph.Load.Tests;

public sealed class LandingClassTests
{
    private static readonly LandingClassOptions Options = new();

    [Fact]
    public void Twenty_landings_of_a_kind_are_learned_before_a_class_is_given()
    {
        var classifier = new LandingClassifier(Options);
        Assert.All(Enumerable.Range(0, 20), i => Assert.Equal(LandingClass.Learning, classifier.Classify(Made.Jump(i, Made.UsualShockG(i))).Class));
        Assert.Equal(LandingClass.Normal, classifier.Classify(Made.Jump(20)).Class);

        // Another leg and another form are other kinds.
        Assert.Equal(LandingClass.Learning, classifier.Classify(Made.Jump(21, leg: Leg.Right)).Class);
        Assert.Equal(LandingClass.Learning, classifier.Classify(Made.Jump(22) with { Form = ElementForm.Hop }).Class);
    }

    // Median 10 g, MAD 0.5 g: hard above 10 + 3 x 1.4826 x 0.5 = 12.22 g; MDC 1.96 sqrt(2) 0.63 = 1.75 g (by arithmetic).
    [Theory]
    [InlineData(9.4, 0.30, LandingClass.Soft)]
    [InlineData(9.4, 0.10, LandingClass.Normal)]
    [InlineData(10.4, 0.30, LandingClass.Normal)]
    [InlineData(11.5, 0.30, LandingClass.Firm)]
    [InlineData(12.2, 0.30, LandingClass.Firm)]
    [InlineData(12.3, 0.30, LandingClass.Hard)]
    public void Classes_follow_from_median_and_deviation(double shockG, double absorptionS, LandingClass expected)
    {
        var verdict = Learned(Options).Classify(Made.Jump(99, shockG) with { AbsorptionTimeS = absorptionS });
        Assert.Equal(expected, verdict.Class);
        var ankle = verdict.Sites.Single(site => site.Site == Site.AnkleLeft);
        Assert.Equal(10, ankle.MedianG);
        Assert.Equal(12.224, ankle.HardAboveG!.Value, 1e-3);
    }

    [Fact]
    public void The_top_share_is_hard_only_beyond_the_error_of_measurement()
    {
        var classifier = Learned(Options with { HardDeviationsFactor = 10, TopShare = 0.03 }, landings: 50);
        Assert.Equal(LandingClass.Firm, classifier.Classify(Made.Jump(90, 11.7)).Class);
        Assert.Equal(LandingClass.Hard, classifier.Classify(Made.Jump(91, 11.8)).Class);
    }

    [Fact]
    public void A_saturated_landing_is_at_least_hard_and_a_cap_holds_from_the_first_landing()
    {
        var fresh = new LandingClassifier(Options with { AnkleCapG = 15 });
        Assert.Equal(LandingClass.Hard, fresh.Classify(Made.Jump(1, 15)).Class);
        Assert.Equal(LandingClass.Saturated, fresh.Classify(Made.Jump(2, 3, saturated: true)).Class);
        Assert.True(fresh.Classify(Made.Jump(3, 3, saturated: true)).IsHard);
        Assert.Equal(LandingClass.Unmeasured, fresh.Classify(Made.Jump(4, null)).Class);
        Assert.Equal(LandingClass.Unmeasured, fresh.Classify(Made.Jump(5, double.NaN)).Class);
    }

    [Fact]
    public void The_ankle_that_did_not_land_has_no_say()
    {
        var verdict = Learned(Options).Classify(Made.Jump(99) with { AnkleRightShock = new(60, true) });
        Assert.Equal(LandingClass.Normal, verdict.Class);
        Assert.DoesNotContain(verdict.Sites, site => site.Site == Site.AnkleRight);
    }

    [Fact]
    public void Without_an_ankle_the_trunk_decides()
    {
        var jump = Made.Jump(1, null) with { TrunkShock = new(8, true) };
        Assert.Equal(LandingClass.Saturated, new LandingClassifier(Options).Classify(jump).Class);
    }

    [Property]
    public void Saturated_stays_saturated_whatever_came_before(byte[] before, byte shock)
    {
        var classifier = new LandingClassifier(Options);
        for (var i = 0; i < before.Length; i++)
        {
            classifier.Classify(Made.Jump(i, before[i] + 1, saturated: before[i] > 200));
        }

        Assert.Equal(LandingClass.Saturated, classifier.Classify(Made.Jump(1000, shock + 1, saturated: true)).Class);
    }

    [Property(MaxTest = 30)]
    public void Only_the_remembered_landings_decide(int seed)
    {
        var random = new Random(seed);
        var jumps = Enumerable.Range(0, 130).Select(i => Made.Jump(i, 5 + (10 * random.NextDouble()))).ToArray();
        var options = Options with { RememberedLandings = 50 };
        LandingClassifier all = new(options), rebuilt = new(options);
        var last = jumps.Select(all.Classify).Last();
        Assert.Equivalent(last, jumps.TakeLast(51).Select(rebuilt.Classify).Last(), strict: true);
    }

    private static LandingClassifier Learned(LandingClassOptions options, int landings = 20)
    {
        var classifier = new LandingClassifier(options);
        for (var i = 0; i < landings; i++)
        {
            classifier.Classify(Made.Jump(i, Made.UsualShockG(i)));
        }

        return classifier;
    }
}
