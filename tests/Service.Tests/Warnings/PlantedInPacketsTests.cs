using Saltograph.Imu;
using Saltograph.Jumps;
using Saltograph.Pipeline;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Tests.Warnings;

/// <summary>
/// Episodes planted in what simulated gymnasts do and what their sensors send, over a busy but healthy network, through the measuring, the store and the desk, with the proposed rules and
/// the time of the test. What else is raised is counted.
/// </summary>
public sealed class PlantedInPacketsTests
{
    private const double Skill = 0.7;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_hard_series_a_plan_exceeded_and_a_dying_sensor_are_each_told_once_in_their_channel_within_their_delay()
    {
        var training = new SimulationOptions
        {
            Seed = 1,
            DurationS = 225,
            SkillFraction = Skill,
            Episodes =
            [
                new Drill { AthleteIndex = 0, FromS = 0, LandsOn = Site.AnkleLeft, RestS = 0.5 },
                new StiffLandings { AthleteIndex = 0, FromS = 170, ToS = 200, LandsOn = Site.AnkleLeft, StopShare = 0.25, ThrustFactor = 1.3 },
                new DeadSensor { AthleteIndex = 0, FromS = 205, Site = Site.AnkleRight, RunsDownS = 450 },
            ],
        };
        await using var run = await Run.OfAsync(training, new(StringComparer.Ordinal) { ["amsel"] = 15 });
        run.HardSeries("amsel", 170);
        run.PlanExceeded("amsel", 15);
        run.SensorDies("amsel", "imu-amsel-right", 205);
        run.NothingElse(IsOfTheHardSeries);
    }

    // Where a sensor was at its rail in too many of the last landings, that is told too, as a fault of the sensor.
    private static bool IsOfTheHardSeries(string name) => name == "sensor-clipped.amsel.imu-amsel-left";

    /// <summary>What came of a training.</summary>
    private sealed class Run : IAsyncDisposable
    {
        private readonly DeskHarness _hall;
        private readonly SimulationOptions _training;
        private readonly List<SensorReported> _sensors = [];
        private readonly HashSet<string> _expected = new(StringComparer.Ordinal);
        private ILookup<string, JumpRow> _jumps = null!;
        private IReadOnlyList<WarningRow> _raised = null!;
        private ILookup<string, WarningRow> _found = null!;
        private ILookup<string, double> _leftLandingsS = null!;

        private Run(DeskHarness hall, SimulationOptions training) => (_hall, _training) = (hall, training);

        public static async Task<Run> OfAsync(SimulationOptions training, Dictionary<string, int> plans)
        {
            var simulation = new HallSimulation(training, new(), DeskHarness.Begin.ToUnixTimeMilliseconds() * 1000);
            var roster = new RosterOptions
            {
                Sensors = [.. simulation.Sensors.Select(worn => new RosterEntry { Sensor = worn.Sensor.Value, Athlete = worn.Athlete.Value, Site = worn.Site.Name() })],
            };
            var run = new Run(await DeskHarness.StartAsync(roster: roster), training);
            foreach (var (athlete, jumps) in plans)
            {
                await run._hall.PlanAsync(athlete, $"{{\"jumps\":{jumps}}}");
            }

            await run.TrainAsync(simulation, new(roster));
            return run;
        }

        /// <summary>Raised by the fifth landing of that foot at the latest, at a landing of it.</summary>
        public void HardSeries(string athlete, double fromS)
        {
            var raised = One($"hard-landings.{athlete}.left", "landing", "high");
            Assert.Contains(_jumps[athlete], jump => jump.LandingUs == raised.RaisedUs && jump is { LandingFoot: "left", LandingClass: "hard" or "saturated" });
            InLandings(athlete, fromS, raised, 5);
        }

        /// <summary>At the landing of the first jump that is one too many.</summary>
        public void PlanExceeded(string athlete, int jumps) => Assert.Equal(
            _jumps[athlete].Select(jump => jump.LandingUs).Order().ElementAt(jumps), One($"plan.{athlete}.jumps", "overload", "medium").RaisedUs);

        /// <summary>First its battery, a minute after it is told to be low; then its silence, ten seconds long.</summary>
        public void SensorDies(string athlete, string sensor, double atS)
        {
            var low = _sensors.First(told => told.Sensor.Sensor.Value == sensor && told.Sensor.Kind == SensorFactKind.Battery && told.Sensor.Count <= 15).Sensor.HallTime;
            Assert.InRange(One($"sensor-battery.{athlete}.{sensor}", "sensor", "low").RaisedUs - low.Microseconds, 60_000_000, 61_000_000);
            Assert.InRange(One($"sensor-silent.{athlete}.{sensor}", "sensor", "low").RaisedUs - Us(atS), 9_900_000, 11_500_000);
        }

        /// <summary>No other warning of a plan or a sensor, and hardly one of landings.</summary>
        public void NothingElse(Func<string, bool> isOfAnEpisode)
        {
            var others = _raised.Where(warning => !_expected.Contains(Name(warning)) && !isOfAnEpisode(Name(warning))).ToList();
            var gymnastHours = _training.AthleteCount * _training.DurationS / 3600;
            var falseLanding = others.Count(warning => warning.Channel == "landing");
            Tell($"seed {_training.Seed}: {_jumps.Sum(own => own.Count())} jumps in {gymnastHours:0.0} gymnast-hours; false landing warnings {falseLanding / gymnastHours:0.00} per gymnast-hour; "
                + $"of the episodes: {string.Join(' ', _raised.Select(Name).Where(isOfAnEpisode))}; others: {string.Join(' ', others.Select(Name))}");
            Assert.InRange(falseLanding / gymnastHours, 0, 1);
            Assert.DoesNotContain(others, warning => warning.Channel is "overload" or "sensor");
        }

        public ValueTask DisposeAsync() => _hall.DisposeAsync();

        private async Task TrainAsync(HallSimulation simulation, Roster roster)
        {
            var days = new DayLedger();
            var measuring = roster.Athletes.ToDictionary(athlete => athlete, athlete => new AthleteMeasuring(athlete, roster.SensorsOf(athlete), new(), days));
            var (arrived, ahead) = (new List<SimulatedPacket>(), new List<SimulatedPacket>());
            var facts = new List<Fact>();
            simulation.Advance(1, ahead);
            for (var second = 1; second <= _training.DurationS; second++)
            {
                // The next second is danced while this one is measured.
                (arrived, ahead) = (ahead, arrived);
                var (untilS, next) = (Math.Min(second + 1, _training.DurationS), ahead);
                var dancing = Task.Run(() => simulation.Advance(untilS, next), Stop);
                await TakeAsync();
                await _hall.PassAsync(1);
                await dancing;
            }

            (arrived, ahead) = (ahead, arrived);
            simulation.Complete(arrived);
            await TakeAsync();
            foreach (var athlete in measuring.Values)
            {
                athlete.Complete(facts);
            }

            await GiveAsync();
            await _hall.PassAsync(6); // what the desk is behind, and not long enough for silence to count
            _jumps = (await _hall.JumpsAsync()).ToLookup(jump => jump.Athlete, StringComparer.Ordinal);
            _raised = await _hall.RaisedAsync();
            _found = _raised.ToLookup(Name, StringComparer.Ordinal);
            _leftLandingsS = simulation.Athletes.SelectMany(athlete => athlete.Jumps)
                .Where(jump => jump.LandingFoot == "left").ToLookup(jump => jump.Athlete.Value, jump => jump.LandingS, StringComparer.Ordinal);

            async Task TakeAsync()
            {
                foreach (var packet in arrived)
                {
                    measuring[packet.Sensor.Athlete].Push(new IncomingPacket(packet.Sensor.Sensor, packet.Bytes, simulation.HallTime(packet.ReceivedS)), facts);
                    await GiveAsync();
                }

                arrived.Clear();
            }

            async Task GiveAsync()
            {
                foreach (var fact in facts.Where(fact => fact is JumpMeasured or SensorReported))
                {
                    await _hall.GiveAsync(fact);
                }

                _sensors.AddRange(facts.OfType<SensorReported>());
                facts.Clear();
            }
        }

        private WarningRow One(string name, string channel, string priority)
        {
            Assert.True(_found[name].Count() == 1, $"{name} was raised {_found[name].Count()} times; all: {string.Join(' ', _raised.Select(Name))}");
            _expected.Add(name);
            var warning = _found[name].Single();
            Assert.Equal((channel, priority), (warning.Channel, warning.Priority));
            return warning;
        }

        // The truth tells what she landed; 20 ms are what an event may be off.
        private void InLandings(string athlete, double fromS, WarningRow raised, int most)
        {
            Assert.True(raised.RaisedUs > Us(fromS));
            var count = _leftLandingsS[athlete].Count(landingS => landingS >= fromS && Us(landingS) <= raised.RaisedUs + 20_000);
            Tell($"{Name(raised)} told at landing {count} of the episode");
            Assert.InRange(count, 1, most);
        }

        private static string Name(WarningRow warning) => string.Join('.', warning.Id.Split('.')[..3]);

        private static long Us(double s) => (DeskHarness.Begin.ToUnixTimeMilliseconds() * 1000) + (long)(s * 1e6);

        private static void Tell(string text) => TestContext.Current.TestOutputHelper!.WriteLine(text);
    }
}
