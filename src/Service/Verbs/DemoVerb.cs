using System.CommandLine;
using Saltograph.Service.Configuration;
using Saltograph.Service.Facts;
using Saltograph.Service.Hosting;
using Saltograph.Service.Simulated;
using Saltograph.Simulator.Session;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>demo</c>: a simulated hall, measured live, with nothing to install or configure.</summary>
internal static class DemoVerb
{
    private const int Gymnasts = 5;
    private const int MostGymnasts = 50;
    private const int MostChecks = 1000;
    private const int HttpPort = 5080;
    private const double LongestS = 86_400;

    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var seed = new Option<ulong>("--seed") { Description = "Another training with each number.", DefaultValueFactory = _ => 1 };
        var http = new Option<int>("--http-port") { Description = "Port of the HTTP endpoints on this machine; 0 takes a free one.", DefaultValueFactory = _ => HttpPort };
        var mqtt = new Option<int>("--mqtt-port") { Description = "Port of the broker on this machine; 0 takes a free one.", DefaultValueFactory = _ => 0 };
        foreach (var port in new[] { http, mqtt })
        {
            port.Validators.Add(result =>
            {
                if (result.GetValueOrDefault<int>() is var found && found is < 0 or > 65_535)
                {
                    result.AddError($"{port.Name}: found {found}; allowed: 0 to 65535.");
                }
            });
        }

        var gymnasts = Whole("--gymnasts", $"How many gymnasts, 1 to {MostGymnasts}.", Gymnasts, 1, MostGymnasts);
        var checks = Whole("--sensor-checks", $"How often each first does the check of her sensors (page Sensors), 0 to {MostChecks}.", 0, 0, MostChecks);
        var verb = new Command("demo", "A simulated hall of five gymnasts, measured live over a broker of its own, until Ctrl+C.") { seed, http, mqtt, gymnasts, checks };
        verb.SetAction((arguments, stop) => RunAsync(
            terminal,
            new() { Seed = arguments.GetValue(seed), AthleteCount = arguments.GetValue(gymnasts), SensorChecks = arguments.GetValue(checks), DurationS = LongestS },
            arguments.GetValue(http),
            arguments.GetValue(mqtt),
            stop));
        return verb;
    }

    private static Option<int> Whole(string name, string meaning, int usual, int least, int most)
    {
        var option = new Option<int>(name) { Description = meaning, DefaultValueFactory = _ => usual };
        option.Validators.Add(result =>
        {
            if (result.GetValueOrDefault<int>() is var found && (found < least || found > most))
            {
                result.AddError($"{name}: found {found}; allowed: {least} to {most}.");
            }
        });
        return option;
    }

    private static async Task<int> RunAsync(Terminal terminal, SimulationOptions simulation, int httpPort, int mqttPort, CancellationToken stop)
    {
        var options = new ServiceOptions
        {
            Hall = "demo",
            Broker = new() { EmbeddedBroker = new() { Port = mqttPort, Anonymous = true } },
            Http = new() { Port = httpPort },
            People = new() { Anonymous = true }, // simulated gymnasts, on this machine only: decision 0062
        };
        var hall = new SimulatedHall(simulation, new(), new(options.Hall));
        var data = Directory.CreateTempSubdirectory("saltograph-demo-"); // a simulated history is worth nothing afterwards
        var configuration = new HallConfiguration(options, hall.Roster, new()).From(data.FullName);
        var console = new TerminalSink(terminal.Out, TimeZoneInfo.Utc);
        try
        {
            await using var host = await HallHost.BuildAsync(configuration, Logs.Readable(), services => services.AddSingleton<IFactSink>(console), stop);
            await host.StartAsync(stop);
            await terminal.Out.WriteLineAsync(
                $"A simulated hall of {simulation.AthleteCount} gymnasts, three sensors each. Ctrl+C ends it.\n"
                + $"Board: http://127.0.0.1:{host.HttpPort}/\n"
                + $"Latest jumps: http://127.0.0.1:{host.HttpPort}/api/v1/jumps?order=newest-first   MQTT: 127.0.0.1:{host.MqttPort}, saltograph/v1/{options.Hall}/#\n"
                + $"{Cautions.Line}\n\n{TerminalSink.Heading}");
            var stopping = host.Services.GetRequiredService<IHostApplicationLifetime>().ApplicationStopping;
            var playing = PlayAsync(hall, host.MqttPort, stopping);
            await host.WaitForStopAsync(stop);
            await playing;
            return host.Services.GetRequiredService<DrainOutcome>().WasCut ? ExitCodes.Failed : ExitCodes.Done;
        }
        catch (Exception problem) when (HallHost.IsReasonNotToStart(problem))
        {
            await terminal.Error.WriteLineAsync($"Cannot start: {problem.Message}");
            return ExitCodes.Failed;
        }
        finally
        {
            data.Delete(recursive: true);
        }
    }

    private static async Task PlayAsync(SimulatedHall hall, int mqttPort, CancellationToken stopping)
    {
        try
        {
            await using var traffic = new SensorTraffic(new() { Host = "127.0.0.1", Port = mqttPort }, hall.Hall, TimeProvider.System);
            await traffic.ConnectAsync(hall.Sensors, stopping);
            await Task.Run(() => traffic.PlayAsync(hall.Packets, speed: 1, stopping), stopping);
        }
        catch (OperationCanceledException) when (stopping.IsCancellationRequested)
        {
        }
        catch (MQTTnet.Exceptions.MqttCommunicationException) when (stopping.IsCancellationRequested)
        {
        }
    }
}
