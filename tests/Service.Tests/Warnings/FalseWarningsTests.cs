using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Pipeline;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Simulated;
using Saltograph.Service.Tests.Hosting;
using Saltograph.Service.Warnings;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;

namespace Saltograph.Service.Tests.Warnings;

/// <summary>Ordinary simulated trainings, packets to warnings: nothing is planted, so every warning about landings is a false one.</summary>
public sealed class FalseWarningsTests
{
    private static readonly bool IsLong = Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1";

    // Seed 77 was looked at when the classes were chosen; 601 was not run before they were settled. Warnings of sensors that really were at their rail are counted too.
    [Fact]
    public void Ordinary_trainings_raise_at_most_one_landing_warning_in_an_hour_of_a_gymnast()
    {
        var (raised, watchedS) = (0, 0.0);
        foreach (var seed in IsLong ? (ulong[])[77, 601] : [77])
        {
            var run = Run(seed);
            raised += run.Changes.Count(change => change is { Cause: WarningCause.Raised, Channel: WarningChannel.Landing });
            watchedS += run.WatchedS;
        }

        TestContext.Current.TestOutputHelper!.WriteLine($"landing warnings {raised * 3600 / watchedS:0.00} per gymnast-hour");
        Assert.InRange(raised * 3600 / watchedS, 0, 1);
    }

    private static DryRun Run(ulong seed)
    {
        var training = new SimulationOptions { Seed = seed, AthleteCount = IsLong ? 3 : 1, DurationS = IsLong ? 3600 : 900 };
        var start = new SampleTime(1_803_913_000_000_000);
        var days = new HallDays(TimeZoneInfo.Utc);
        var hall = new SimulatedHall(training, NetworkOptions.Faultless, new(TestHall.Hall));
        var sensors = hall.Roster.Sensors.ToDictionary(
            entry => new SensorId(entry.Sensor), entry => (Athlete: new AthleteId(entry.Athlete), Site: Sites.TryParse(entry.Site, out var site) ? site : throw new FormatException()));
        var pipelines = sensors.GroupBy(pair => pair.Value.Athlete).ToDictionary(
            worn => worn.Key, worn => new AthletePipeline(worn.Key, worn.ToDictionary(pair => pair.Key, pair => pair.Value.Site), new()));
        var output = new PipelineOutput();
        var jumps = new List<CountedJump>();

        void Take(AthleteId athlete)
        {
            jumps.AddRange(output.Jumps.Select(jump => CountedJumps.Of(FactRows.Of(new JumpMeasured(athlete, jump.Id, jump.Jump), days))));
            output.Clear();
        }

        foreach (var packet in hall.Packets(start))
        {
            var athlete = sensors[packet.Sensor].Athlete;
            pipelines[athlete].Push(packet.Sensor, packet.Bytes, start.PlusSeconds(packet.TimeS), output);
            Take(athlete);
        }

        foreach (var (athlete, pipeline) in pipelines)
        {
            pipeline.Complete(output);
            Take(athlete);
        }

        var run = DryRun.Of(WarningRules.Proposed, jumps);
        var classes = new LandingClassifier(new());
        var hard = jumps.OrderBy(jump => jump.LandingTime).ThenBy(jump => jump.Id, StringComparer.Ordinal).Count(jump => classes.Classify(jump).IsHard);
        TestContext.Current.TestOutputHelper!.WriteLine(
            $"seed {seed}: {jumps.Count} jumps in {run.WatchedS / 3600:0.00} gymnast-hours, {hard} hard or saturated; "
            + string.Join(", ", run.Rules.Where(rule => rule.Raised > 0).Select(rule => $"{rule.Rule} {rule.Raised}"))
            + $"; landing warnings {run.RaisedPerAthleteHour(WarningChannel.Landing):0.00} per hour, "
            + $"{run.Changes.Count(change => change.Cause == WarningCause.Raised && change.Detail.Text.Contains("saturated", StringComparison.Ordinal))} of them of sensors at their rail");
        Assert.True(jumps.Count > 20 * training.AthleteCount);
        return run;
    }
}
