using Saltograph.Imu;
using Saltograph.Simulator.Session;

namespace Saltograph.Service.Tests.Warnings;

/// <summary>
/// Episodes planted in what simulated gymnasts do and what their sensors send, over a busy but healthy network, through the measuring, the store and the desk, with the proposed rules and
/// the time of the test. What else is raised is counted.
/// </summary>
public sealed class PlantedInPacketsTests
{
    private const double Skill = 0.7;
    private const double TiresFromS = 1800, RiseFromS = 3000, HardFromS = 3600, DiesAtS = 5400, LongS = 7200;
    private const double FlightLossShare = 0.4;
    private static readonly bool IsLong = Environment.GetEnvironmentVariable("SALTOGRAPH_LONG") == "1";

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
        await using var run = await PlantedTraining.OfAsync(training, new(StringComparer.Ordinal) { ["amsel"] = 15 });
        run.HardSeries("amsel", 170);
        run.PlanExceeded("amsel", 15);
        run.SensorDies("amsel", "imu-amsel-right", 205);
        run.NothingElse(ClippedOfAmsel);
    }

    // Rules, episodes and delays were settled before either seed was run; what the first minutes of 7503 showed was a fault of the pipeline.
    [Theory]
    [InlineData(7503)]
    [InlineData(7504)]
    public async Task Two_hours_of_six_gymnasts_tell_each_of_five_episodes_once_in_its_channel_within_its_delay(ulong seed)
    {
        Assert.SkipUnless(IsLong, "the long form: two hours of six gymnasts");
        var tiring = new Tiring { AthleteIndex = 3, FromS = TiresFromS, ToS = LongS, FlightLossShare = FlightLossShare };
        var training = new SimulationOptions
        {
            Seed = seed,
            AthleteCount = 6,
            DurationS = LongS,
            SkillFraction = Skill,
            Episodes =
            [
                new Drill { AthleteIndex = 0, FromS = HardFromS - 10, ToS = HardFromS + 40, LandsOn = Site.AnkleLeft, RestS = 0.5 },
                new StiffLandings { AthleteIndex = 0, FromS = HardFromS, ToS = HardFromS + 40, LandsOn = Site.AnkleLeft, StopShare = 0.25, ThrustFactor = 1.3 },
                new StiffLandings { AthleteIndex = 1, FromS = RiseFromS, LandsOn = Site.AnkleLeft },
                new Drill { AthleteIndex = 3, FromS = 0, LandsOn = Site.AnkleLeft },
                tiring,
                new DeadSensor { AthleteIndex = 4, FromS = DiesAtS, Site = Site.AnkleRight, RunsDownS = 3600 },
            ],
        };
        await using var run = await PlantedTraining.OfAsync(training, new(StringComparer.Ordinal) { ["cirrus"] = 250 });
        run.HardSeries("amsel", HardFromS);
        run.Rise("birke", RiseFromS);
        run.PlanExceeded("cirrus", 250);
        run.Fatigue("distel", tiring);
        run.SensorDies("esche", "imu-esche-right", DiesAtS);
        run.NothingElse([.. ClippedOfAmsel, "hard-landings.birke.left", "sensor-clipped.birke.imu-birke-left", "fatigue.birke.shock-left"]);
    }

    // Where a sensor was at its rail in too many of the last landings, that is told too, as a fault of the sensor. Whose landings have become harder may land hard,
    // and her shock has risen inside the training.
    private static readonly string[] ClippedOfAmsel = ["sensor-clipped.amsel.imu-amsel-left"];
}
