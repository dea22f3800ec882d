using System.CommandLine;
using System.Text;
using MQTTnet.Exceptions;
using Saltograph.Imu;
using Saltograph.Load;
using Saltograph.Service.Configuration;
using Saltograph.Service.Durability;
using Saltograph.Service.Facts;
using Saltograph.Service.Hosting;
using Saltograph.Service.People;
using Saltograph.Service.Privacy;
using Saltograph.Service.Recordings;
using Saltograph.Service.Simulated;
using Saltograph.Service.Warnings;
using Saltograph.Store;
using Saltograph.Store.Recordings;

namespace Saltograph.Service.Verbs;

/// <summary>The verb <c>replay</c>: raw recordings again, to a broker, to a file or into a store.</summary>
internal static class ReplayVerb
{
    private const string RecordingKind = "a file of a recording (.cborseq), or a folder with such files";

    /// <summary>Arguments and action.</summary>
    public static Command Create(Terminal terminal)
    {
        var recording = new Argument<string>("RECORDING") { Description = "One file of a recording: all of its parts are played. A folder: all recordings in it." };
        var output = new Option<string>("--output") { Description = "File for the jump records, one JSON object per line; written anew.", HelpName = "jumps.jsonl" };
        var events = new Option<string>("--events") { Description = "File for the events with their ids, one CloudEvent per line; written anew.", HelpName = "events.jsonl" };
        var config = new Option<string>("--config") { Description = "Into the store of this configuration; what it has already stays. The service must not run.", HelpName = "DIR" };
        var door = new BrokerArguments();
        var broker = door.Broker;
        var keys = new Option<string>("--keys") { Description = "Configuration whose store has the keys of sealed recordings; default that of --config. The service must not run.", HelpName = "DIR" };
        var speed = new Option<double>("--speed") { Description = "Times real time, 0.1 to 1000, with --broker.", DefaultValueFactory = _ => 1 };
        speed.Validators.Add(result =>
        {
            if (!(result.GetValueOrDefault<double>() is >= 0.1 and <= 1000))
            {
                result.AddError("--speed: found a number outside the range; allowed: 0.1 to 1000.");
            }
        });
        var verb = new Command("replay", "Raw recordings again: the same packets give the same events with the same ids.") { recording, output, events, config, keys, speed };
        door.AddTo(verb);
        verb.Validators.Add(result =>
        {
            if (result.GetValue(output) is null && result.GetValue(events) is null && result.GetValue(config) is null && result.GetValue(broker) is null)
            {
                result.AddError("Found none of --output, --events, --config and --broker; allowed: at least one.");
            }
        });
        verb.SetAction(async (arguments, stop) =>
        {
            var path = arguments.GetRequiredValue(recording);
            var recordings = Find(path);
            if (recordings.Count == 0)
            {
                await terminal.Error.WriteLineAsync(new InputFault(path, "no recording", RecordingKind).ToString());
                return ExitCodes.WrongUsage;
            }

            try
            {
                if (recordings.Any(recording => recording.Header!.IsSealed) && (arguments.GetValue(keys) ?? arguments.GetValue(config)) is { } owner
                    && await UnlockAsync(terminal, recordings, owner, stop) is { } wrong)
                {
                    return wrong;
                }

                SensorDoor? found = null;
                if (arguments.GetValue(broker) is not null && door.Read(arguments, out found) is { } fault)
                {
                    await terminal.Error.WriteLineAsync(fault.ToString());
                    return ExitCodes.WrongUsage;
                }

                var exit = await MeasureAsync(terminal, recordings, arguments.GetValue(output), arguments.GetValue(events), arguments.GetValue(config), stop);
                return exit == ExitCodes.Done && found is not null
                    ? await PublishAsync(terminal, recordings, found, arguments.GetValue(speed), stop)
                    : exit;
            }
            catch (Exception problem) when (HallHost.IsReasonNotToStart(problem))
            {
                await terminal.Error.WriteLineAsync($"Cannot replay: {problem.Message}");
                return ExitCodes.Failed;
            }
        });
        return verb;
    }

    private static IReadOnlyList<RecordingFiles> Find(string path)
    {
        if (Directory.Exists(path))
        {
            return RecordingFiles.All(path);
        }

        return File.Exists(path) && RecordingFiles.OfFile(path) is { } one ? [one] : [];
    }

    private static async Task<int?> UnlockAsync(Terminal terminal, IReadOnlyList<RecordingFiles> recordings, string folder, CancellationToken stop)
    {
        var faults = ConfigurationFolder.Load(folder, null, out var configuration);
        if (configuration is null)
        {
            await terminal.Error.WriteLineAsync(string.Join('\n', faults));
            return ExitCodes.WrongUsage;
        }

        var service = configuration.From(folder).Service;
        await using var store = await HallStore.OpenAsync(service.Store.ToOptions(Environment.GetEnvironmentVariable(ConfigurationFolder.StorePasswordVariable)), stop);
        var keys = new AthleteKeys(store, DataKeys.Open(service.People), TimeProvider.System);
        foreach (var recording in recordings)
        {
            recording.Key = await keys.FindAsync(recording.Header!.Athlete, stop);
        }

        return null;
    }

    private static async Task<int> MeasureAsync(
        Terminal terminal, IReadOnlyList<RecordingFiles> recordings, string? output, string? events, string? config, CancellationToken stop)
    {
        HallConfiguration? loaded = null;
        if (config is not null)
        {
            var faults = ConfigurationFolder.Load(config, null, out var configuration);
            if (configuration is null)
            {
                await terminal.Error.WriteLineAsync(string.Join('\n', faults));
                return ExitCodes.WrongUsage;
            }

            loaded = configuration.From(config);
        }

        if (output is not null || events is not null)
        {
            var landings = loaded?.Warnings.Landings ?? new();
            var jumps = await WithProgress.RunAsync(terminal, "Measuring again", progress => Write(recordings, output, events, landings, progress));
            await terminal.Out.WriteLineAsync($"{jumps} jumps of {recordings.Count} recordings.");
        }

        foreach (var torn in recordings.SelectMany(recording => recording.Torn))
        {
            await terminal.Error.WriteLineAsync($"{torn.File}: {torn.TornBytes} bytes behind byte {torn.GoodBytes} are no whole packet and were left out.");
        }

        if (loaded is null)
        {
            return ExitCodes.Done;
        }

        var service = loaded.Service;
        await using var store = await HallStore.OpenAsync(
            service.Store.ToOptions(Environment.GetEnvironmentVariable(ConfigurationFolder.StorePasswordVariable)), stop);
        var days = new HallDays(TimeZoneInfo.FindSystemTimeZoneById(service.TimeZone));
        var added = 0;
        foreach (var recording in recordings)
        {
            added += await new RecordingReplay(recording).IntoAsync(store, days, stop, loaded.Warnings.Landings);
        }

        await terminal.Out.WriteLineAsync($"{added} jumps were new to the store.");
        return ExitCodes.Done;
    }

    // Oldest first: the landings of earlier recordings are what later ones are compared with.
    private static int Write(IReadOnlyList<RecordingFiles> recordings, string? output, string? events, LandingClassOptions landings, WorkProgress progress)
    {
        using var records = output is null ? StreamWriter.Null : new StreamWriter(output, append: false, new UTF8Encoding(false)) { NewLine = "\n" };
        using var told = events is null ? StreamWriter.Null : new StreamWriter(events, append: false, new UTF8Encoding(false)) { NewLine = "\n" };
        var (jumps, days, classes) = (0, new HallDays(TimeZoneInfo.Utc), new LandingClasses(landings));
        for (var i = 0; i < recordings.Count; i++)
        {
            var messages = new EventMessages(new(recordings[i].Header!.Hall));
            foreach (var fact in new RecordingReplay(recordings[i]).Facts())
            {
                if (fact is JumpMeasured jump)
                {
                    records.WriteLine(FactRows.Record(jump));
                    jumps++;
                }

                var classed = fact is JumpMeasured landed ? landed with { LandingClass = classes.Of(FactRows.Of(landed, days)) } : fact;
                if (messages.Of(classed) is { } message)
                {
                    told.WriteLine(Encoding.UTF8.GetString(message.Payload));
                }
            }

            progress.Share = (i + 1.0) / recordings.Count;
        }

        return jumps;
    }

    private static async Task<int> PublishAsync(
        Terminal terminal, IReadOnlyList<RecordingFiles> recordings, SensorDoor door, double speed, CancellationToken stop)
    {
        try
        {
            // Recordings side by side, as they were: what several athletes did at the same time is sent at the same time.
            var packets = recordings.SelectMany(recording => recording.Packets()).OrderBy(packet => packet.ReceivedUs).ToList();
            if (packets.Count == 0)
            {
                return ExitCodes.Done;
            }

            await using var traffic = new SensorTraffic(door, new(recordings[0].Header!.Hall), TimeProvider.System);
            await traffic.ConnectAsync(packets.Select(packet => new SensorId(packet.Sensor)).Distinct(), stop);
            var first = new SampleTime(packets[0].ReceivedUs);
            await traffic.PlayAsync(
                _ => packets.Select(packet => new TimedPacket(new SampleTime(packet.ReceivedUs) - first, new(packet.Sensor), packet.Bytes)), speed, stop);
            await terminal.Out.WriteLineAsync($"{packets.Count} packets were published.");
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
