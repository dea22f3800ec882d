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

    [Fact]
    public void Ordinary_trainings_raise_at_most_one_landing_warning_in_an_hour_of_a_gymnast()
    {
        var training = new SimulationOptions { Seed = 77, AthleteCount = IsLong ? 3 : 1, DurationS = IsLong ? 3600 : 900 };
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
            $"{jumps.Count} jumps in {run.WatchedS / 3600:0.00} gymnast-hours, {hard} hard or saturated; "
            + string.Join(", ", run.Rules.Where(rule => rule.Raised > 0).Select(rule => $"{rule.Rule} {rule.Raised}"))
            + $"; landing warnings {run.RaisedPerAthleteHour(WarningChannel.Landing):0.00} per hour");
        Assert.True(jumps.Count > 20 * training.AthleteCount);
        Assert.InRange(run.RaisedPerAthleteHour(WarningChannel.Landing)!.Value, 0, 1);
    }
}
