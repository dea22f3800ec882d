using Saltograph.Imu;
using Saltograph.Service.Fitting;
using Saltograph.Service.Tests.Faults;
using Saltograph.Simulator.Session;

namespace Saltograph.Service.Tests.Fitting;

/// <summary>The check of sensors before training, on simulated gymnasts whose sites are known.</summary>
public sealed class FittingCheckTests
{
    private static readonly Site[] All = [Site.Trunk, Site.AnkleLeft, Site.AnkleRight];

    public static TheoryData<ulong> Seeds => [.. Enumerable.Range(1, 12).Select(seed => (ulong)(7300 + seed))];

    /// <summary>Plays a gymnast who does the check once; the roster may put her sensors elsewhere than they are.</summary>
    private static FittingCheck Play(ulong seed, Func<Site, Site>? roster = null, Func<Site, ImuSample, ImuSample?>? change = null) =>
        Play(SimulatedSession.Simulate(new() { Seed = seed, DurationS = 18, SensorChecks = 1, StartsStill = false })[0], roster, change);

    private static FittingCheck Play(SimulatedAthlete athlete, Func<Site, Site>? roster = null, Func<Site, ImuSample, ImuSample?>? change = null)
    {
        var check = new FittingCheck(All);
        foreach (var (site, sample) in All.SelectMany(site => athlete.At(site).Select(sample => (site, sample))).OrderBy(each => each.sample.Time))
        {
            if ((change is null ? sample : change(site, sample)) is { } felt)
            {
                check.Push(roster?.Invoke(site) ?? site, felt);
            }
        }

        return check;
    }

    private static string Findings(FittingCheck check) => $"{check.Step}; " + string.Join("; ", check.Found.Values.Select(found =>
        FormattableString.Invariant($"{found.Expected.Name()} found at {found.Found?.Name() ?? "?"}, rise {found.RiseM:0.000} m, lift {found.LiftMps2:0.00} m/s2, noise {found.GyroscopeNoiseDps:0.000} deg/s {found.AccelerometerNoiseMps2:0.000} m/s2, rest {found.RestG:0.000} g")));

    [Theory]
    [MemberData(nameof(Seeds))]
    public void Sensors_where_they_belong_are_found_there(ulong seed)
    {
        var check = Play(seed);
        TestContext.Current.TestOutputHelper!.WriteLine(Findings(check));
        Assert.True(check.Step == FittingStep.Done && check.Found.Values.All(found => found.Found == found.Expected), Findings(check));
        Assert.All(check.Found.Values, found => Assert.InRange(found.RiseM!.Value, 0.03, 0.12)); // she rose by 5 to 8 cm
        Assert.All(check.Found.Values, found => Assert.All(
            FittingVerdict.Of(found, new(100, 0, 80, true), isSilent: false, check.Step), thing => Assert.True(thing.IsGood, $"{thing} of {Findings(check)}")));
    }

    [Theory]
    [MemberData(nameof(Seeds))]
    [Fault("two sensors are swapped between the legs", "the check before training finds each on the other leg and does not pass", "without the check: which leg was which", back: "when they change places or the roster is corrected")]
    public void Swapped_ankles_are_found_on_each_others_leg(ulong seed)
    {
        var check = Play(seed, site => site switch { Site.AnkleLeft => Site.AnkleRight, Site.AnkleRight => Site.AnkleLeft, _ => site });
        Assert.True(check.Step == FittingStep.Done && check.Found[Site.AnkleLeft].Found == Site.AnkleRight && check.Found[Site.AnkleRight].Found == Site.AnkleLeft, Findings(check));
        Assert.Equal(Site.Trunk, check.Found[Site.Trunk].Found);
        Assert.False(FittingVerdict.Of(check.Found[Site.AnkleLeft], new(100, 0, 80, true), isSilent: false, check.Step).Single(thing => thing.Key == "site").IsGood);
    }

    // Seeds that nothing was tuned on: 5 gymnasts, 5 halls of 8 in the long form. A wrong word before training costs a gymnast her trust in the next.
    [Fact]
    public void Of_a_hall_of_gymnasts_never_seen_each_right_set_passes_and_each_swapped_set_fails()
    {
        var (sets, passed, found) = (0, 0, 0);
        var wrong = new List<string>();
        var athletes = Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1" ? 8 : 1;
        for (ulong seed = 9201; seed <= 9205; seed++)
        {
            foreach (var athlete in SimulatedSession.Simulate(new() { Seed = seed, AthleteCount = athletes, DurationS = 18, SensorChecks = 1, StartsStill = false }))
            {
                sets++;
                var right = Play(athlete);
                var bad = right.Found.Values.SelectMany(each => FittingVerdict.Of(each, new(100, 0, 80, true), isSilent: false, right.Step)).Where(thing => thing.IsGood != true).ToList();
                var passes = right.Step == FittingStep.Done && bad.Count == 0;
                var swapped = Play(athlete, site => site switch { Site.AnkleLeft => Site.AnkleRight, Site.AnkleRight => Site.AnkleLeft, _ => site });
                var fails = swapped.Step == FittingStep.Done && swapped.Found[Site.AnkleLeft].Found == Site.AnkleRight && swapped.Found[Site.AnkleRight].Found == Site.AnkleLeft;
                (passed, found) = (passed + (passes ? 1 : 0), found + (fails ? 1 : 0));
                wrong.AddRange(passes ? [] : [$"{seed}, right set, {string.Join(", ", bad)}: {Findings(right)}"]);
                wrong.AddRange(fails ? [] : [$"{seed}, swapped set: {Findings(swapped)}"]);
            }
        }

        TestContext.Current.TestOutputHelper!.WriteLine($"{passed} of {sets} right sets pass, {found} of {sets} swapped sets are found.");
        Assert.True(wrong.Count == 0, string.Join('\n', wrong));
    }

    [Theory]
    [MemberData(nameof(Seeds))]
    public void A_trunk_sensor_on_an_ankle_and_an_ankle_sensor_on_the_trunk_are_found(ulong seed)
    {
        foreach (var ankle in new[] { Site.AnkleLeft, Site.AnkleRight })
        {
            var check = Play(seed, site => site == Site.Trunk ? ankle : site == ankle ? Site.Trunk : site);
            Assert.True(check.Found[Site.Trunk].Found == ankle && check.Found[ankle].Found == Site.Trunk, $"{ankle}: {Findings(check)}");
        }
    }

    [Theory]
    [MemberData(nameof(Seeds))]
    public void A_sensor_that_lies_on_the_bench_does_not_rise_and_is_not_worn(ulong seed)
    {
        var random = new Random((int)seed);
        var check = Play(seed, change: (site, sample) => site != Site.Trunk ? sample : sample with
        {
            SpecificForceSensorMps2 = new(0.01 * random.NextDouble(), 0.01 * random.NextDouble(), Gravity.StandardMps2),
            AngularRateSensorRadps = Vector3D.Zero,
        });
        Assert.Equal(FittingStep.Done, check.Step);
        var things = FittingVerdict.Of(check.Found[Site.Trunk], new(100, 0, 80, true), isSilent: false, check.Step);
        Assert.False(things.Single(thing => thing.Key == "worn").IsGood);
        Assert.NotEqual(Site.Trunk, check.Found[Site.Trunk].Found);
    }

    [Fact]
    public void Without_one_of_the_sensors_the_check_does_not_go_on_and_says_which_is_silent()
    {
        var check = Play(7301, change: (site, sample) => site == Site.AnkleRight ? null : sample);
        Assert.Equal(FittingStep.Stand, check.Step);
        Assert.Equal([Site.AnkleRight], check.Silent);
        Assert.False(FittingVerdict.Of(check.Found[Site.AnkleRight], new(0, 0, null, null), isSilent: true, check.Step)[0].IsGood);
    }

    [Fact]
    public void A_jump_instead_of_rising_on_the_toes_begins_the_check_anew()
    {
        var check = new FittingCheck([Site.Trunk]);
        for (var i = 0; i < 100 * 6; i++)
        {
            var atS = i / 100.0;
            var up = atS is > 4 and < 4.2 ? 30 : atS is > 4.2 and < 4.6 ? 0 : Gravity.StandardMps2;
            check.Push(Site.Trunk, new(new((long)(atS * 1e6)), new(0, 0, up), Vector3D.Zero));
        }

        Assert.Equal(FittingStep.Stand, check.Step);
        Assert.True(check.WasTooMuch);
    }

    [Theory]
    [InlineData(0.5, 0)] // before she stands
    [InlineData(2.5, 1)] // while she does
    public void A_rail_counts_while_the_check_runs_and_not_before_it(double atS, int counted)
    {
        var check = new FittingCheck([Site.Trunk]);
        for (var i = 0; i < 600; i++)
        {
            var moves = i < 100;
            var marks = i == (int)(atS * 100) ? SampleMarks.AccelerometerSaturated : SampleMarks.None;
            check.Push(Site.Trunk, new(new(i * 10_000L), new(0, Gravity.StandardMps2, 0), new(moves ? 1 : 0.01, 0, 0)) { Marks = marks });
        }

        Assert.Equal(FittingStep.Rise, check.Step);
        Assert.Equal(counted, check.Found[Site.Trunk].Clipped);
    }

    [Fact]
    public void Standing_is_told_as_it_goes_and_restlessness_begins_it_anew()
    {
        var check = new FittingCheck([Site.Trunk]);
        void Stand(double fromS, double toS, double rateRadps)
        {
            for (var atS = fromS; atS < toS; atS += 0.01)
            {
                check.Push(Site.Trunk, new(new((long)(atS * 1e6)), new(0, Gravity.StandardMps2, 0), new(rateRadps, 0, 0)));
            }
        }

        Stand(0, 2, 0.01);
        Assert.InRange(check.StoodShare, 0.4, 0.7);
        Stand(2, 2.3, 1);
        Assert.Equal(0, check.StoodShare);
        Stand(2.3, 6.5, 0.01);
        Assert.Equal(FittingStep.Rise, check.Step);
    }

    // Five limits, each tried on both sides.
    [Theory]
    [InlineData("charge", 30, true)]
    [InlineData("charge", 29, false)]
    [InlineData("loss", 2, true)]
    [InlineData("loss", 3, false)]
    [InlineData("clipping", 0, true)]
    [InlineData("clipping", 1, false)]
    [InlineData("rest", 1.04, true)]
    [InlineData("rest", 0.94, false)]
    [InlineData("gyroscope", 0.4, true)]
    [InlineData("gyroscope", 0.6, false)]
    public void Each_figure_passes_up_to_its_limit_and_fails_beyond(string key, double figure, bool passes)
    {
        var fitted = new FittedSite(Site.Trunk)
        {
            RestG = key == "rest" ? figure : 1,
            GyroscopeNoiseDps = key == "gyroscope" ? figure : 0.1,
            AccelerometerNoiseMps2 = 0.02,
            Clipped = key == "clipping" ? (int)figure : 0,
        };
        var packets = new FittingPackets(key == "loss" ? 100 - (int)figure : 100, key == "loss" ? (int)figure : 0, key == "charge" ? (int)figure : 80, true);
        var thing = FittingVerdict.Of(fitted, packets, isSilent: false, FittingStep.Rise).Single(each => each.Key == key);
        Assert.Equal(passes, thing.IsGood);
        Assert.Equal(figure, thing.Figure!.Value, 9);
    }

    [Fact]
    public void What_a_sensor_does_not_say_neither_passes_nor_fails()
    {
        var things = FittingVerdict.Of(new(Site.Trunk), new(10, 0, null, null), isSilent: false, FittingStep.Stand);
        Assert.All(things.Where(thing => thing.Key is "charge" or "clock" or "site" or "worn" or "rest"), thing => Assert.Null(thing.IsGood));
        Assert.Null(FittingVerdict.Of(new(Site.Trunk), new(0, 0, null, null), isSilent: false, FittingStep.Stand)[0].IsGood); // nothing heard, and it is too soon to call it silent
    }
}
