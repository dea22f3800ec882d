using Saltograph.Imu;
using Saltograph.Simulator.Elements;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Session;
using Saltograph.Simulator.Truth;
using Saltograph.Wire.Packets;

namespace Saltograph.Simulator.Tests;

/// <summary>What is planted is in the movement and in the packets, and nowhere else.</summary>
public sealed class EpisodeTests
{
    private static readonly SimulationOptions Options = new() { Seed = 12, DurationS = 120, SkillFraction = 0.7 };
    private static readonly Drill Drilled = new() { AthleteIndex = 0, FromS = 0, RestS = 0.5 };
    private static readonly Lazy<List<TruthJump>> Usual = new(() => JumpsOf(Drilled));

    private static List<TruthJump> JumpsOf(params Episode[] episodes)
    {
        var simulation = new AthleteSimulation(Options with { Episodes = episodes }, 0, new("amsel"));
        simulation.Run(Options.DurationS, (_, _) => { });
        return simulation.Jumps;
    }

    [Fact]
    public void A_drill_is_single_leaps_with_half_a_turn_that_land_on_one_foot_after_the_other()
    {
        var jumps = Usual.Value;
        Assert.True(jumps.Count > 12);
        Assert.All(jumps, jump =>
        {
            Assert.Equal((JumpForm.Leap, null), (jump.Form, jump.SeriesId));
            Assert.InRange(Math.Abs(jump.TurnFlightDeg), 90, 270);
        });
        Assert.All(jumps.Zip(jumps.Skip(1)), pair => Assert.NotEqual(pair.First.LandingFoot, pair.Second.LandingFoot, StringComparer.Ordinal));
        Assert.All(JumpsOf(Drilled with { LandsOn = Site.AnkleRight, ToS = 60 }, new Drill { AthleteIndex = 0, FromS = 60, LandsOn = Site.AnkleRight, RestS = 60 }), jump => Assert.Equal("right", jump.LandingFoot));
    }

    [Fact]
    public void Stiff_landings_are_shocks_of_the_named_foot_and_of_no_other()
    {
        // A foot that stops in half the time is braked twice as hard (impulse and momentum); strap and tissue pass on a part of it.
        var usual = Usual.Value;
        var stiff = JumpsOf(Drilled, new StiffLandings { AthleteIndex = 0, FromS = 0, LandsOn = Site.AnkleLeft });
        var (left, right) = (Median(stiff, "left") / Median(usual, "left"), Median(stiff, "right") / Median(usual, "right"));
        TestContext.Current.TestOutputHelper!.WriteLine($"shock over usual: left {left:0.00}, right {right:0.00}");
        Assert.InRange(left, 1.3, 2.2);
        Assert.InRange(right, 0.85, 1.15);
        var thrust = JumpsOf(Drilled with { ToS = 60 }, new StiffLandings { AthleteIndex = 0, FromS = 0, StopShare = 0.3, ThrustFactor = 1.6 });
        TestContext.Current.TestOutputHelper!.WriteLine($"with a foot that is thrust down: left {Median(thrust, "left") / Median(usual, "left"):0.00}, least {thrust.Min(jump => jump.ShockAnkleLeftG ?? jump.ShockAnkleRightG):0.0} g");
        Assert.InRange(Median(thrust, "left") / Median(usual, "left"), 2.3, 4.5);

        static double Median(IEnumerable<TruthJump> jumps, string foot)
        {
            var shocks = jumps.Where(jump => jump.LandingFoot == foot).Select(jump => (foot == "left" ? jump.ShockAnkleLeftG : jump.ShockAnkleRightG)!.Value).Order().ToList();
            return shocks[shocks.Count / 2];
        }
    }

    [Fact]
    public void Who_tires_flies_shorter_and_shorter_until_she_is_rested()
    {
        var usual = Usual.Value;
        var tired = JumpsOf(Drilled, new Tiring { AthleteIndex = 0, FromS = 0, ToS = 90, FlightLossShare = 0.4 });
        Assert.InRange(Share(0, 30), 0.85, 1.0); // 0 to 13 per cent are lost
        Assert.InRange(Share(60, 90), 0.58, 0.75); // 27 to 40 per cent
        Assert.InRange(Share(90, 120), 0.9, 1.1);

        double Share(double fromS, double toS) => Mean(tired, fromS, toS) / Mean(usual, fromS, toS);
        static double Mean(IEnumerable<TruthJump> jumps, double fromS, double toS) =>
            jumps.Where(jump => jump.TakeoffS >= fromS && jump.TakeoffS < toS).Average(jump => jump.FlightTimeS);
    }

    [Fact]
    public void A_dead_sensor_tells_its_falling_charge_sends_nothing_and_powers_up_anew()
    {
        var (before, after) = (Packets(Options), Packets(Options with
        {
            Episodes = [new DeadSensor { AthleteIndex = 0, FromS = 15, ToS = 20, Site = Site.AnkleLeft, RunsDownS = 10 }],
        }));
        Assert.Equal(before.Where(packet => packet.Site != Site.AnkleLeft), after.Where(packet => packet.Site != Site.AnkleLeft));
        var left = after.Where(packet => packet.Site == Site.AnkleLeft).ToList();
        Assert.Equal(before.Where(packet => packet.Site == Site.AnkleLeft && packet.SentS < 5), left.Where(packet => packet.SentS < 5));
        Assert.DoesNotContain(left, packet => packet.SentS is > 15 and < 20);
        var runningDown = left.Where(packet => packet.SentS is > 5 and < 15).ToList();
        var full = left[0].Header.BatteryPercent!.Value;
        Assert.All(runningDown, packet => Assert.InRange(packet.Header.BatteryPercent!.Value, (full * (15 - packet.SentS) / 10) - 1.5, (full * (15 - packet.SentS) / 10) + 1.5));
        Assert.InRange(runningDown[^1].Header.BatteryPercent!.Value, 0, 1);
        var again = left.Where(packet => packet.SentS > 20).ToList();
        Assert.All(again, packet => Assert.NotEqual(left[0].Header.Boot, packet.Header.Boot));
        Assert.Equal(0u, again[0].Header.Sequence);
    }

    [Fact]
    public void A_foot_that_has_not_come_to_rest_is_waited_for()
    {
        // At 202.65 s of this training the support of a leap would have ended 1.5 ms before the foot stood.
        foreach (var index in (int[])[0, 1])
        {
            var options = new SimulationOptions { Seed = 1, AthleteCount = 2, SkillFraction = 0.7, Episodes = [new Drill { AthleteIndex = 0, FromS = 0, RestS = 5 }, new Drill { AthleteIndex = 1, FromS = 0, LandsOn = Site.AnkleLeft, RestS = 5 }] };
            var simulation = new AthleteSimulation(options, index, new("amsel"));
            simulation.Run(206, (_, _) => { });
            Assert.True(simulation.Jumps.Count > 15);
        }
    }

    [Fact]
    public void Other_gymnasts_are_the_same_with_and_without()
    {
        var two = Options with { AthleteCount = 2, DurationS = 20 };
        var planted = SimulatedSession.Simulate(two with { Episodes = [Drilled, new StiffLandings { AthleteIndex = 0, FromS = 0 }, new Tiring { AthleteIndex = 0, FromS = 0 }] });
        var usual = SimulatedSession.Simulate(two);
        Assert.Equal(usual[1].Samples, planted[1].Samples);
        Assert.NotEqual(usual[0].Samples, planted[0].Samples);
    }

    [Fact]
    public void Wrong_episodes_are_refused_with_what_was_found_and_what_is_allowed()
    {
        string[] faults =
        [
            .. new SimulationOptions
            {
                Episodes =
                [
                    new Drill { AthleteIndex = 1, FromS = -1, RestS = double.NaN },
                    new StiffLandings { AthleteIndex = 0, FromS = 5, ToS = 5, LandsOn = Site.Trunk, StopShare = 0, ThrustFactor = 3 },
                    new Tiring { AthleteIndex = 0, FromS = 0, FlightLossShare = 1 },
                    new DeadSensor { AthleteIndex = 0, FromS = 0, Site = (Site)7, RunsDownS = -1 },
                ],
            }.Faults(),
        ];
        Assert.Equal(
            [
                "Episodes[0].AthleteIndex 1 must be inside 0 to 0.",
                "Episodes[0].FromS -1 must be inside 0 to 86400.",
                "Episodes[0].RestS NaN must be inside 0 to 3600.",
                "Episodes[1].ToS 5 must be above FromS, 5, to 86400.",
                "Episodes[1].StopShare 0 must be inside 0.2 to 1.",
                "Episodes[1].ThrustFactor 3 must be inside 1 to 2.",
                "Episodes[1].LandsOn Trunk must be AnkleLeft, AnkleRight or null.",
                "Episodes[2].FlightLossShare 1 must be inside 0 to 0.6.",
                "Episodes[3].RunsDownS -1 must be inside 0 to 86400.",
                "Episodes[3].Site 7 must be inside 0 to 2.",
            ],
            faults);
    }

    private static List<(Site Site, double SentS, PacketHeader Header)> Packets(SimulationOptions options)
    {
        var hall = new HallSimulation(options, NetworkOptions.Faultless);
        var arrived = new List<SimulatedPacket>();
        hall.Advance(25, arrived);
        var buffer = new PacketBuffer();
        var reader = new PacketReader();
        return [.. arrived.Select(packet =>
        {
            Assert.Equal(PacketFault.None, reader.TryRead(packet.Bytes, buffer).Fault);
            return (packet.Sensor.Site, packet.SentS, buffer.Header);
        })];
    }
}
