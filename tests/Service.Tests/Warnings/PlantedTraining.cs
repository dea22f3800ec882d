using System.Globalization;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Pipeline;
using Saltograph.Service.Athletes;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Ingest;
using Saltograph.Simulator.Elements;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Simulator.Truth;
using Saltograph.Store.Rows;

namespace Saltograph.Service.Tests.Warnings;

/// <summary>What came of a training with planted episodes: packets over a busy but healthy network, the measuring, the store and the desk, with the proposed rules.</summary>
internal sealed class PlantedTraining : IAsyncDisposable
{
    private readonly DeskHarness _hall;
    private readonly SimulationOptions _training;
    private readonly List<SensorReported> _sensors = [];
    private readonly HashSet<WarningChange> _expected = [];
    private ILookup<string, JumpRow> _jumps = null!;
    private IReadOnlyList<WarningChange> _raised = null!;
    private ILookup<string, TruthJump> _truth = null!;

    private PlantedTraining(DeskHarness hall, SimulationOptions training) => (_hall, _training) = (hall, training);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public static async Task<PlantedTraining> OfAsync(SimulationOptions training, Dictionary<string, int> plans)
    {
        var simulation = new HallSimulation(training, new(), DeskHarness.Begin.ToUnixTimeMilliseconds() * 1000);
        var roster = new RosterOptions
        {
            Sensors = [.. simulation.Sensors.Select(worn => new RosterEntry { Sensor = worn.Sensor.Value, Athlete = worn.Athlete.Value, Site = worn.Site.Name() })],
        };
        var run = new PlantedTraining(await DeskHarness.StartAsync(roster: roster), training);
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
        // Nobody acknowledges, so that a series long after it would be the same warning, raised again.
        var raised = One($"hard-landings.{athlete}.left", WarningChannel.Landing, WarningPriority.High, fromS, fromS + 300);
        Assert.Contains(_jumps[athlete], jump => jump.LandingUs == raised.Time.Microseconds && jump is { LandingFoot: "left", LandingClass: "hard" or "saturated" });
        AfterLandings(athlete, fromS, raised, JumpForm.Leap, 5);
    }

    /// <summary>Raised when the landings whose median is "now" all are of the episode, at the latest.</summary>
    public void Rise(string athlete, double fromS) => AfterLandings(
        athlete, fromS, One($"shock-rise.{athlete}.left-leap", WarningChannel.Landing, WarningPriority.Medium, fromS), JumpForm.Leap, new ShockRiseRule { Id = "x" }.RecentLandings);

    /// <summary>At the landing of the first jump that is one too many.</summary>
    public void PlanExceeded(string athlete, int jumps) => Assert.Equal(
        _jumps[athlete].Select(jump => jump.LandingUs).Order().ElementAt(jumps), One($"plan.{athlete}.jumps", WarningChannel.Overload, WarningPriority.Medium).Time.Microseconds);

    /// <summary>
    /// After she began to tire, and when the loss that was planted is larger than what the rule asks by three standard errors at the latest. The rule compares the medians of the last and the first
    /// third of the jumps of one element, and asks for four standard errors of their difference, more of few jumps, and for 2.77 of one jump's (a minimal detectable change).
    /// </summary>
    public void Fatigue(string athlete, Tiring tiring)
    {
        var raised = One($"fatigue.{athlete}.height-left-leap-1-free", WarningChannel.Advice, WarningPriority.Low, tiring.FromS);
        var jumps = _truth[athlete].ToList();
        var usualM = jumps.Where(jump => jump.LandingS < tiring.FromS).Select(jump => jump.HeightM).ToList();
        var meanM = usualM.Average();
        var errorM = new FatigueOptions().HeightErrorM;
        var scatterM = Math.Sqrt(usualM.Average(heightM => (heightM - meanM) * (heightM - meanM)) + (errorM * errorM));
        var latest = Enumerable.Range(15, jumps.Count - 14).First(count =>
        {
            var third = count / 3;
            var standardErrorM = Math.Sqrt(Math.PI * third) * scatterM / third; // of the difference of two medians: sqrt(2) sqrt(pi / 2) sigma / sqrt(n)
            var lossM = Middle(jumps.Take(third)) - Middle(jumps.Take(count).TakeLast(third));
            return lossM > Math.Max(2.77 * errorM, 4 * (1 + (7.5 / (count - 5))) * standardErrorM) + (3 * standardErrorM);
        });
        var number = jumps.Count(jump => Us(jump.LandingS) <= raised.Time.Microseconds + 20_000);
        Tell($"{Name(raised)} told at jump {number}, {number - usualM.Count} after she began to tire; at the latest {latest - usualM.Count}");
        Assert.InRange(number, usualM.Count + 1, latest);

        // Height goes with the square of the flight time.
        double Middle(IEnumerable<TruthJump> some) => some.Select(jump =>
        {
            var share = 1 - (tiring.FlightLossShare * Math.Clamp((jump.TakeoffS - tiring.FromS) / (tiring.ToS - tiring.FromS), 0, 1));
            return meanM * share * share;
        }).Average();
    }

    /// <summary>First its battery, a minute after it is told to be low; then its silence, ten seconds long.</summary>
    public void SensorDies(string athlete, string sensor, double atS)
    {
        var low = _sensors.First(told => told.Sensor.Sensor.Value == sensor && told.Sensor.Kind == SensorFactKind.Battery && told.Sensor.Count <= 15).Sensor.HallTime;
        Assert.InRange(One($"sensor-battery.{athlete}.{sensor}", WarningChannel.Sensor, WarningPriority.Low).Time - low, 60, 61);
        Assert.InRange(One($"sensor-silent.{athlete}.{sensor}", WarningChannel.Sensor, WarningPriority.Low).Time.Microseconds - Us(atS), 9_900_000, 11_500_000);
    }

    /// <summary>No other warning of a plan or a sensor, and hardly one of landings.</summary>
    /// <param name="ofEpisodes">Beginnings of the names of what may come of an episode besides.</param>
    public void NothingElse(IReadOnlyList<string> ofEpisodes)
    {
        var others = _raised.Where(change => !_expected.Contains(change) && !ofEpisodes.Any(name => Name(change).StartsWith(name, StringComparison.Ordinal))).ToList();
        var gymnastHours = _training.AthleteCount * _training.DurationS / 3600;
        var falseLanding = others.Count(change => change.Channel == WarningChannel.Landing);
        Tell($"seed {_training.Seed}: {_jumps.Sum(own => own.Count())} jumps in {gymnastHours:0.0} gymnast-hours; false landing warnings {falseLanding / gymnastHours:0.00} per gymnast-hour; all: "
            + string.Join(", ", _raised.Select(change => $"{Name(change)} {(change.Time.Microseconds - Us(0)) / 1e6:0.0} s{(others.Contains(change) ? $" (not planted: {change.Detail.Text}{Truth(change)})" : "")}")));
        Assert.InRange(falseLanding / gymnastHours, 0, 1);
        Assert.DoesNotContain(others, change => change.Channel is WarningChannel.Overload or WarningChannel.Sensor);
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
        _raised = [.. _hall.Heard.Where(change => change.Cause == WarningCause.Raised)];
        _truth = simulation.Athletes.SelectMany(athlete => athlete.Jumps).OrderBy(jump => jump.LandingS).ToLookup(jump => jump.Athlete.Value, StringComparer.Ordinal);

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

    private WarningChange One(string name, WarningChannel channel, WarningPriority priority, double fromS = 0, double toS = 86_400)
    {
        var found = _raised.Where(change => Name(change) == name && change.Time.Microseconds > Us(fromS) && change.Time.Microseconds < Us(toS)).ToList();
        Assert.True(found.Count == 1, $"{name} was raised {found.Count} times; all: {string.Join(' ', _raised.Select(Name))}");
        _expected.Add(found[0]);
        Assert.Equal((channel, priority), (found[0].Channel, found[0].Priority));
        return found[0];
    }

    // The truth tells what she landed; 20 ms are what an event may be off.
    private void AfterLandings(string athlete, double fromS, WarningChange raised, JumpForm form, int most)
    {
        var count = _truth[athlete].Count(jump =>
            jump.Form == form && jump.LandingFoot == "left" && jump.LandingS >= fromS && Us(jump.LandingS) <= raised.Time.Microseconds + 20_000);
        Tell($"{Name(raised)} told at landing {count} of the episode");
        Assert.InRange(count, 1, most);
    }

    // What she really landed with there, and usually: whether such a landing was measured wrongly, or is one that nobody planted.
    private string Truth(WarningChange change)
    {
        static double? ShockG(TruthJump jump) => jump.LandingFoot == "right" ? jump.ShockAnkleRightG : jump.ShockAnkleLeftG;
        var landing = change.Channel == WarningChannel.Landing ? _truth[change.Athlete.Value].FirstOrDefault(jump => Math.Abs(Us(jump.LandingS) - change.Time.Microseconds) < 50_000) : null;
        var alike = landing is null ? [] : _truth[change.Athlete.Value].Where(jump => jump.Form == landing.Form && jump.LandingFoot == landing.LandingFoot).Select(ShockG).Order().ToList();
        return landing is null ? "" : string.Create(CultureInfo.InvariantCulture, $" Truth: {ShockG(landing):0.0} g, median of {alike.Count} such landings {alike[alike.Count / 2]:0.0} g.");
    }

    private static string Name(WarningChange change) => string.Join('.', change.WarningId.Split('.')[..3]);

    private static long Us(double s) => (DeskHarness.Begin.ToUnixTimeMilliseconds() * 1000) + (long)(s * 1e6);

    private static void Tell(string text) => TestContext.Current.TestOutputHelper!.WriteLine(text);
}
