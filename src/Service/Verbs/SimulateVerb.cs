using System.CommandLine;
using MQTTnet.Exceptions;
using Saltograph.Imu;
using Saltograph.Service.Simulated;
using Saltograph.Simulator.Network;
using Saltograph.Simulator.Recording;
using Saltograph.Simulator.Session;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>simulate</c>: gymnasts with known truth, to a broker or to files.</summary>
internal static class SimulateVerb
{
    private const double StepS = 10;

    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var csv = new Option<string>("--csv") { Description = "Folder for one CSV recording per sensor and the truth of each athlete as JSON Lines.", HelpName = "DIR" };
        var door = new BrokerArguments();
        var broker = door.Broker;
        var hall = new Option<string>("--hall") { Description = "Hall in the topics, with --broker.", DefaultValueFactory = _ => "hall-1" };
        var speed = new Option<double>("--speed") { Description = "Times real time, 0.1 to 1000, with --broker.", DefaultValueFactory = _ => 1 };
        var athletes = new Option<int>("--athletes") { Description = "Number of gymnasts.", DefaultValueFactory = _ => 1 };
        var duration = new Option<double>("--duration") { Description = "Length, s.", DefaultValueFactory = _ => 300 };
        var seed = new Option<ulong>("--seed") { Description = "Another training with each number.", DefaultValueFactory = _ => 1 };
        var skill = new Option<double?>("--skill") { Description = "0 (novice) to 1 (expert) for all; without it each draws her own." };
        var rate = new Option<double>("--rate") { Description = "Samples per second.", DefaultValueFactory = _ => 416 };
        hall.Validators.Add(result =>
        {
            if (!IdText.IsValid(result.GetValueOrDefault<string>()))
            {
                result.AddError($"--hall: found '{result.GetValueOrDefault<string>()}'; allowed: {IdText.Allowed}.");
            }
        });
        speed.Validators.Add(result =>
        {
            if (!(result.GetValueOrDefault<double>() is >= 0.1 and <= 1000))
            {
                result.AddError("--speed: found a number outside the range; allowed: 0.1 to 1000.");
            }
        });
        var noFaults = new Option<bool>("--no-faults") { Description = "A network without loss, delay and repetition, with --broker." };
        var verb = new Command("simulate", "Simulated gymnasts with known truth, to a broker or to CSV files.")
        {
            csv, hall, speed, athletes, duration, seed, skill, rate, noFaults,
        };
        door.AddTo(verb);
        verb.Validators.Add(result =>
        {
            if ((result.GetValue(csv) is null) == (result.GetValue(broker) is null))
            {
                result.AddError("Found both or neither of --csv and --broker; allowed: one of them.");
            }
        });
        verb.SetAction((arguments, stop) =>
        {
            var options = new SimulationOptions
            {
                Seed = arguments.GetValue(seed),
                AthleteCount = arguments.GetValue(athletes),
                DurationS = arguments.GetValue(duration),
                SkillFraction = arguments.GetValue(skill),
                Sensors = new() { SampleRateHz = arguments.GetValue(rate) },
            };
            if (options.Faults().ToList() is { Count: > 0 } faults)
            {
                terminal.Error.WriteLine(string.Join('\n', faults));
                return Task.FromResult(ExitCodes.WrongUsage);
            }

            if (arguments.GetValue(csv) is { } folder)
            {
                return ToFilesAsync(terminal, options, folder);
            }

            var simulated = new SimulatedHall(options, arguments.GetValue(noFaults) ? NetworkOptions.Faultless : new(), new(arguments.GetRequiredValue(hall)));
            if (door.Read(arguments, out var found) is { } fault)
            {
                terminal.Error.WriteLine(fault);
                return Task.FromResult(ExitCodes.WrongUsage);
            }

            return ToBrokerAsync(terminal, simulated, found!, arguments.GetValue(speed), stop);
        });
        return verb;
    }

    private static async Task<int> ToFilesAsync(Terminal terminal, SimulationOptions options, string folder)
    {
        try
        {
            Directory.CreateDirectory(folder);
            for (var i = 0; i < options.AthleteCount; i++)
            {
                var index = i;
                var athlete = await WithProgress.RunAsync(
                    terminal, $"Simulating {i + 1} of {options.AthleteCount}", progress => Simulate(options, index, progress));
                foreach (var site in Enum.GetValues<Site>())
                {
                    await using var recording = new StreamWriter(Path.Combine(folder, $"{athlete.Athlete}-{site.Name()}.csv"));
                    RecordingText.Write(recording, athlete.At(site));
                }

                await using var truth = new StreamWriter(Path.Combine(folder, $"{athlete.Athlete}-truth.jsonl"));
                TruthText.Write(truth, athlete);
                await terminal.Out.WriteLineAsync(
                    $"{athlete.Athlete}: {athlete.Jumps.Count} jumps, {athlete.Distractors.Count} stretches that are none, {athlete.At(Site.Trunk).Count} samples per sensor");
            }

            return ExitCodes.Done;
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            await terminal.Error.WriteLineAsync($"{folder}: cannot be written: {problem.Message}");
            return ExitCodes.Failed;
        }
    }

    private static SimulatedAthlete Simulate(SimulationOptions options, int index, WorkProgress progress)
    {
        var simulation = new AthleteSimulation(options, index, SimulatedSession.PseudonymOf(index));
        List<ImuSample>[] samples = [[], [], []];
        for (var untilS = StepS; untilS < options.DurationS; untilS += StepS)
        {
            simulation.Produce(untilS, samples);
            progress.Share = untilS / options.DurationS;
        }

        simulation.Produce(options.DurationS, samples);
        simulation.Produce(simulation.Finish(), samples);
        return new(simulation.Athlete, simulation.SkillFraction, samples, simulation.Jumps, simulation.Distractors);
    }

    private static async Task<int> ToBrokerAsync(Terminal terminal, SimulatedHall hall, SensorDoor door, double speed, CancellationToken stop)
    {
        try
        {
            await terminal.Out.WriteLineAsync($"The roster for config/roster.json:\n{hall.RosterJson()}");
            await using var traffic = new SensorTraffic(door, hall.Hall, TimeProvider.System);
            await traffic.ConnectAsync(hall.Sensors, stop);
            await traffic.PlayAsync(hall.Packets, speed, stop);
            return ExitCodes.Done;
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested)
        {
            return ExitCodes.Done;
        }
        catch (MqttCommunicationException problem)
        {
            await terminal.Error.WriteLineAsync($"Publishing to {door.Host}:{door.Port} failed: {problem.Message}");
            return ExitCodes.Failed;
        }
    }
}
