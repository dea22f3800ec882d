using Saltograph.Jumps;
using Saltograph.Pipeline;
using Saltograph.Service.Configuration;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Tests.Warnings;

/// <summary>
/// Two hours of six invented gymnasts on a real store, with the proposed rules. Five episodes are planted, one each; the sixth gymnast only trains. Shocks scatter by factors (log-normal, 18 per
/// cent) about each one's own usual landing; yesterday's landings are known.
/// </summary>
public sealed class PlantedEpisodesTests
{
    private const int LengthS = 7200, EveryS = 75, RiseFromS = 2400, FatigueFromS = 1800, HardAtS = 3000, DiesAtS = 4200;
    private static readonly string[] Athletes = ["amber", "beryl", "citrine", "dolomite", "ember", "flint"];

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public async Task Each_planted_episode_is_told_once_in_its_channel_within_its_delay(int seed)
    {
        var roster = new RosterOptions
        {
            Sensors = [.. Athletes.SelectMany(athlete => (string[])["trunk", "ankle-left", "ankle-right"], (athlete, site) => new RosterEntry { Sensor = $"{athlete}-{site}", Athlete = athlete, Site = site })],
        };
        await using var hall = await DeskHarness.StartAsync(roster: roster);
        var random = new Random(seed);
        foreach (var athlete in Athletes)
        {
            for (var i = 0; i < 120; i++)
            {
                await hall.LandAsync(athlete, i % 2 == 0 ? Foot.Left : Foot.Right, UsualG(random), dies: true, agoS: 86_400 + (60 * i));
            }
        }

        await hall.RestartAsync();
        await hall.PlanAsync("citrine", "{\"jumps\":80}");
        var planted = new Dictionary<string, long>(StringComparer.Ordinal); // when each episode met its rule
        var counts = new Dictionary<string, int>(StringComparer.Ordinal);
        var risen = new List<long>();
        for (var s = 0; s < LengthS; s++)
        {
            await hall.PassAsync(1);
            for (var who = 0; who < Athletes.Length; who++)
            {
                var athlete = Athletes[who];
                var isHard = athlete == "amber" && s is HardAtS or HardAtS + 20 or HardAtS + 40;
                if (!isHard && (s + (11 * who)) % EveryS != 0)
                {
                    continue;
                }

                var number = counts[athlete] = counts.GetValueOrDefault(athlete) + 1;
                var foot = isHard || number % 2 == 0 || athlete == "dolomite" ? Foot.Left : Foot.Right;
                var shockG = UsualG(random);
                var heightM = 0.30 + (0.01 * Normal(random));
                if (isHard)
                {
                    shockG = 30;
                }
                else if (athlete == "beryl" && foot == Foot.Left && s >= RiseFromS)
                {
                    shockG = 14.5 * Math.Exp(0.04 * Normal(random)); // heavily, and each time alike
                    risen.Add(hall.Now.PlusSeconds(-1).Microseconds);
                }
                else if (athlete == "dolomite" && s >= FatigueFromS)
                {
                    heightM -= 0.08 * (s - FatigueFromS) / (double)(LengthS - FatigueFromS);
                }

                await hall.LandAsync(athlete, foot, shockG, heightM: heightM);
                if ((athlete == "amber" && s == HardAtS + 20) || (athlete == "citrine" && number == 81))
                {
                    planted[athlete] = hall.Now.PlusSeconds(-1).Microseconds;
                }
            }

            if (s == DiesAtS)
            {
                planted["ember"] = hall.Now.PlusSeconds(10).Microseconds;
                await hall.SensorAsync("ember", "ember-ankle-left", SensorFactKind.Silent);
            }
        }

        await hall.PassAsync(6);
        var raised = await hall.RaisedAsync();
        var expected = new Dictionary<string, string>(StringComparer.Ordinal)
        {
            ["hard-landings.amber.left"] = "landing high",
            ["shock-rise.beryl.left-leap"] = "landing medium",
            ["plan.citrine.jumps"] = "overload medium",
            ["fatigue.dolomite.height-left-leap-x-free"] = "advice low",
            ["sensor-silent.ember.ember-ankle-left"] = "sensor low",
        };
        var found = raised.ToLookup(Name, StringComparer.Ordinal);
        Assert.All(expected, episode =>
        {
            var warning = Assert.Single(found[episode.Key]);
            Assert.Equal(episode.Value, $"{warning.Channel} {warning.Priority}");
        });

        // Delays: at the landing or instant that met the rule; the rise within the landings whose median is "now"; fatigue after it began.
        Assert.Equal(planted["amber"], found["hard-landings.amber.left"].Single().RaisedUs);
        Assert.Equal(planted["citrine"], found["plan.citrine.jumps"].Single().RaisedUs);
        Assert.Equal(planted["ember"], found["sensor-silent.ember.ember-ankle-left"].Single().RaisedUs);
        var seenAfter = risen.IndexOf(found["shock-rise.beryl.left-leap"].Single().RaisedUs) + 1;
        Assert.InRange(seenAfter, 1, 20);
        Assert.True(found["fatigue.dolomite.height-left-leap-x-free"].Single().RaisedUs > Us(FatigueFromS));

        // Each is in the store, with its event, 4 s and a tick after it was met.
        var told = (await hall.ToldAsync()).ToDictionary(row => row.Id, StringComparer.Ordinal);
        Assert.All(raised, warning => Assert.InRange(told[$"{warning.Id}.1"].CreatedUs - warning.RaisedUs, 0, 5_500_000));

        // Beryl's rise is a change inside her training as well: the same episode as advice. Nothing else may come, but what chance does.
        var others = raised.Where(warning => !expected.ContainsKey(Name(warning)) && !Name(warning).StartsWith("fatigue.beryl.shock-left", StringComparison.Ordinal)).ToList();
        var falseLanding = others.Count(warning => warning.Channel == "landing");
        var gymnastHours = Athletes.Length * LengthS / 3600.0;
        TestContext.Current.TestOutputHelper!.WriteLine(
            $"seed {seed}: {counts.Values.Sum()} jumps in {gymnastHours:0} gymnast-hours; rise told after {seenAfter} landings; false landing warnings {falseLanding / gymnastHours:0.00} per gymnast-hour; others: "
            + string.Join(' ', others.Select(Name)));
        Assert.InRange(falseLanding / gymnastHours, 0, 1);
        Assert.DoesNotContain(others, warning => warning.Channel is "overload" or "sensor");
    }

    private static string Name(WarningRow warning) => string.Join('.', warning.Id.Split('.')[..3]);

    private static long Us(double s) => (DeskHarness.Begin.ToUnixTimeMilliseconds() * 1000) + (long)(s * 1e6);

    private static double UsualG(Random random) => 10 * Math.Exp(0.18 * Normal(random));

    // Box and Muller 1958.
    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
