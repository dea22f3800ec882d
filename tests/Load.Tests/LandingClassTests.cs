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

    // By arithmetic: median 10 g; on the logarithm MAD ln(10 / 9.5) = 0.0513; 20 landings widen 3 to 4.5: hard above 10 exp(4.5 x 1.4826 x 0.0513) = 14.08 g; MDC 1.96 sqrt(2) 0.63 = 1.75 g.
    [Theory]
    [InlineData(9.4, 0.30, LandingClass.Soft)]
    [InlineData(9.4, 0.10, LandingClass.Normal)]
    [InlineData(10.4, 0.30, LandingClass.Normal)]
    [InlineData(11.5, 0.30, LandingClass.Firm)]
    [InlineData(14.0, 0.30, LandingClass.Firm)]
    [InlineData(14.1, 0.30, LandingClass.Hard)]
    public void Classes_follow_from_median_and_deviation(double shockG, double absorptionS, LandingClass expected)
    {
        var verdict = Learned(Options).Classify(Made.Jump(99, shockG) with { AbsorptionTimeS = absorptionS });
        Assert.Equal(expected, verdict.Class);
        var ankle = verdict.Sites.Single(site => site.Site == Site.AnkleLeft);
        Assert.Equal(10, ankle.MedianG);
        Assert.Equal(14.080, ankle.HardAboveG!.Value, 1e-3);
    }

    // Shocks that scatter by factors (log-normal): the normal table gives 0.135 per cent beyond three deviations. Not more than twice that, from the first class on; on the plain scale and
    // without widening it was 3 per cent.
    [Theory]
    [InlineData(20, 2000, 3)]
    [InlineData(40, 600, 10)]
    [InlineData(150, 150, 40)]
    public void Chance_makes_no_more_landings_hard_than_three_deviations_do(int learned, int athletes, int each)
    {
        var random = new Random(20261126);
        var hard = 0;
        for (var athlete = 0; athlete < athletes; athlete++)
        {
            var classifier = new LandingClassifier(Options with { TopShare = 0, AnkleErrorG = 0 });
            for (var i = 0; i < learned + each; i++) // hard ones while it learns are not looked at
            {
                var normal = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()); // Box and Muller 1958
                var isHard = classifier.Classify(Made.Jump(i, 10 * Math.Exp(0.3 * normal))).IsHard;
                hard += isHard && i >= learned ? 1 : 0;
            }
        }

        Assert.InRange((double)hard / (athletes * each), 0.0003, 0.0027);
    }

    // Values in random order: the chance of being among the largest hundredth of all so far is a hundredth at most, for any number of them.
    [Fact]
    public void The_top_share_is_not_more_than_its_share()
    {
        var random = new Random(20261126);
        var (hard, judged) = (0, 0);
        for (var athlete = 0; athlete < 30; athlete++)
        {
            var classifier = new LandingClassifier(Options with { HardDeviationsFactor = 10, AnkleErrorG = 0 });
            for (var i = 0; i < 400; i++)
            {
                var isHard = classifier.Classify(Made.Jump(i, 10 + random.NextDouble())).IsHard;
                (hard, judged) = i < 99 ? (hard, judged) : (hard + (isHard ? 1 : 0), judged + 1);
            }
        }

        Assert.InRange((double)hard / judged, 0.005, 0.0105);
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
