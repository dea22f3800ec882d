using System.Diagnostics;
using System.Globalization;
using System.Text.Json;

namespace Saltograph.Benchmarks;

/// <summary>
/// From the contact on the floor to the number on the screen, as the browser sees it; what screens cost the service and the browser; whether memory stays. Twelve simulated gymnasts
/// send in real time, from a process of their own, to the service with its own broker; five screens look at the floor.
/// </summary>
internal static class ScreenDelay
{
    private const int Athletes = 12;
    private const int ScreenCount = 5;
    private const int SettleS = 20;

    private const string HeapName = "dotnet_gc_last_collection_heap_size_bytes{";
    private static readonly Uri Metrics = new("/metrics", UriKind.Relative);

    // Twelve gymnasts jump some twenty times a minute between them: who has not seen enough by then sees nothing.
    private const double PatienceMinutes = 10;

    /// <summary>Runs it.</summary>
    /// <param name="isFull">200 jumps on one screen and half an hour with all; else 60 jumps and two minutes.</param>
    /// <param name="hasFaults">Whether the network loses and delays packets: what it holds back is late on the screen too.</param>
    public static async Task<int> RunAsync(bool isFull, bool hasFaults)
    {
        var (jumps, minutes, stretchS) = isFull ? (200, 30.0, 60) : (60, 2.0, 20);
        await using var screens = await Screens.StartAsync();
        if (screens is null)
        {
            await Console.Error.WriteLineAsync("Found no Chromium; it is looked for in /usr/bin.");
            return 1;
        }

        var folder = Directory.CreateTempSubdirectory("saltograph-benchmark-");
        try
        {
            WriteConfiguration(folder.FullName);
            using var service = Start(["serve", "--config", folder.FullName]);
            var (http, mqtt) = await ReadPortsAsync(service);
            var log = service.StandardOutput.ReadToEndAsync();
            using var sensors = Start(["simulate", "--broker", Text($"127.0.0.1:{mqtt}"), "--athletes", Text($"{Athletes}"), "--duration", "7200", "--seed", "41", .. hasFaults ? Array.Empty<string>() : ["--no-faults"]]);
            var said = sensors.StandardOutput.ReadToEndAsync();
            await MeasureAsync(screens, service, sensors, new Uri(Text($"http://127.0.0.1:{http}/")), jumps, minutes, stretchS);
            await StopAsync(sensors);
            await StopAsync(service);
            await said;
            var complaints = (await log).Split('\n').Where(line => line.Contains("\"@l\"", StringComparison.Ordinal)).ToList(); // only warnings and errors carry a level
            Console.WriteLine(Text($"service: exit code {service.ExitCode}, {complaints.Count} warnings in its log {complaints.FirstOrDefault()}"));
            return service.ExitCode;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static async Task MeasureAsync(Screens screens, Process service, Process sensors, Uri address, int jumps, double minutes, int stretchS)
    {
        using var client = new HttpClient { BaseAddress = address };
        Console.WriteLine(Text($"{Athletes} gymnasts in real time, three sensors each; {Environment.ProcessorCount} cores, load {await File.ReadAllTextAsync("/proc/loadavg")}").TrimEnd());
        await Task.Delay(TimeSpan.FromSeconds(SettleS));
        Console.WriteLine("screens  service % of a core  simulated sensors %  browser %  frame ms p50  p95  p99  frames/s each");
        foreach (var open in new[] { 0, 1, ScreenCount })
        {
            while (screens.Count < open)
            {
                await screens.OpenAsync(address);
            }

            await Task.Delay(TimeSpan.FromSeconds(3));
            Screens.StepBack();
            await ShareAsync(screens, service, sensors, stretchS);
            if (open == 1)
            {
                var patience = Stopwatch.StartNew();
                while (await screens.SeenAsync("jump") < jumps && patience.Elapsed.TotalMinutes < PatienceMinutes)
                {
                    await Task.Delay(1000);
                }

                await DelaysAsync(screens);
                await ServiceSaysAsync(client);
            }
        }

        var clock = Stopwatch.StartNew();
        var told = -1.0;
        Console.WriteLine("minute  service working set MiB  GC heap MiB, least since the last line  collections gen0/1/2  browser PSS MiB  script heap MiB each  nodes each  jumps seen");
        var leastMiB = double.PositiveInfinity;
        while (clock.Elapsed.TotalMinutes < minutes)
        {
            // What is alive is about what is left after the collections that clear most.
            leastMiB = Math.Min(leastMiB, Sum((await client.GetStringAsync(Metrics)).Split('\n'), HeapName) / 1048576);
            if (clock.Elapsed.TotalMinutes >= told + (minutes / 6) || told < 0)
            {
                told = Math.Floor(clock.Elapsed.TotalMinutes / (minutes / 6)) * (minutes / 6);
                await MemoryAsync(screens, service, client, clock.Elapsed.TotalMinutes, leastMiB);
                leastMiB = double.PositiveInfinity;
            }

            await Task.Delay(1000);
        }

        await MemoryAsync(screens, service, client, clock.Elapsed.TotalMinutes, leastMiB);
        Console.WriteLine("after all of it:");
        await ShareAsync(screens, service, sensors, stretchS);
        await DelaysAsync(screens);
        await ServiceSaysAsync(client);
    }

    private static async Task DelaysAsync(Screens screens)
    {
        foreach (var (kind, aimMs) in new[] { ("landing", 400), ("jump", 1300) })
        {
            var delays = await screens.DelaysMsAsync(kind);
            Console.WriteLine(Text(
                $"from contact to painted, {kind}: {await screens.SeenAsync(kind)} on {screens.Count} screen(s); median {At(delays, 0.5):F0} ms, p95 {At(delays, 0.95):F0} ms (aim {aimMs}), worst {At(delays, 1):F0} ms"));
        }
    }

    private static async Task ServiceSaysAsync(HttpClient client)
    {
        foreach (var line in (await client.GetStringAsync(Metrics)).Split('\n').Where(line => line.StartsWith("saltograph_event_latency_seconds_", StringComparison.Ordinal)))
        {
            Console.WriteLine(line); // what the service itself says of it
        }
    }

    private static async Task ShareAsync(Screens screens, Process service, Process sensors, int stretchS)
    {
        await screens.FramesMsAsync();
        var (cpuS, sensorS, (browserS, _), clock) = (CpuS(service), CpuS(sensors), Screens.OfBrowser(), Stopwatch.StartNew());
        await Task.Delay(TimeSpan.FromSeconds(stretchS));
        var s = clock.Elapsed.TotalSeconds;
        var frames = await screens.FramesMsAsync();
        Console.WriteLine(Text(
            $"{screens.Count,7}  {100 * (CpuS(service) - cpuS) / s,19:F1}  {100 * (CpuS(sensors) - sensorS) / s,19:F1}  {100 * (Screens.OfBrowser().CpuS - browserS) / s,9:F1}")
            + (frames.Length == 0 ? "" : Text($"  {At(frames, 0.5),12:F1}  {At(frames, 0.95),3:F1}  {At(frames, 0.99),3:F1}  {frames.Length / s / screens.Count,14:F1}")));
    }

    private static async Task MemoryAsync(Screens screens, Process service, HttpClient client, double minute, double leastMiB)
    {
        service.Refresh();
        var metrics = (await client.GetStringAsync(Metrics)).Split('\n');
        double Collections(string generation) => Sum(metrics, "dotnet_gc_collections_total{", generation);
        var page = await screens.PageAsync();
        Console.WriteLine(Text(
            $"{minute,6:F1}  {service.WorkingSet64 / 1048576.0,23:F1}  {Sum(metrics, HeapName) / 1048576,11:F1}, {leastMiB,21:F1}  {Collections("gen0"),10:F0}/{Collections("gen1"):F0}/{Collections("gen2"):F0}  {Screens.OfBrowser().MiB,20:F1}  {page.HeapMiB,20:F1}  {page.Nodes,10:F0}  {await screens.SeenAsync("jump"),10}"));
    }

    private static double Sum(IEnumerable<string> metrics, string name, string label = "") => metrics
        .Where(line => line.StartsWith(name, StringComparison.Ordinal) && line.Contains(label, StringComparison.Ordinal))
        .Sum(line => double.Parse(line.Split(' ')[1], CultureInfo.InvariantCulture));

    private static double CpuS(Process process)
    {
        process.Refresh();
        return process.TotalProcessorTime.TotalSeconds;
    }

    private static double At(double[] sorted, double share) => sorted.Length == 0 ? double.NaN : sorted[(int)(share * (sorted.Length - 1))];

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private static Process Start(string[] arguments) => Process.Start(new ProcessStartInfo(Path.Combine(AppContext.BaseDirectory, "saltograph"), arguments)
    {
        RedirectStandardOutput = true,
        UseShellExecute = false,
    })!;

    private static async Task StopAsync(Process process)
    {
        if (!process.HasExited)
        {
            using var stop = Process.Start("kill", ["-TERM", Text($"{process.Id}")]);
            await process.WaitForExitAsync();
        }
    }

    private static void WriteConfiguration(string folder)
    {
        File.WriteAllText(
            Path.Combine(folder, "service.json"),
            "{ \"people\": { \"anonymous\": true }, \"broker\": { \"embeddedBroker\": { \"port\": 0, \"anonymous\": true } }, \"http\": { \"port\": 0 }, \"store\": { \"file\": \"hall.db\" }, \"recordings\": { \"folder\": \"recordings\" } }");
        File.WriteAllText(Path.Combine(folder, "thresholds.json"), "{}");
        var sensors = new Simulator.Network.HallSimulation(new() { AthleteCount = Athletes, Seed = 41 }, new()).Sensors
            .Select(worn => $"{{ \"sensor\": \"{worn.Sensor.Value}\", \"athlete\": \"{worn.Athlete.Value}\", \"site\": \"{Imu.Sites.Name(worn.Site)}\" }}");
        File.WriteAllText(Path.Combine(folder, "roster.json"), "{ \"sensors\": [" + string.Join(',', sensors) + "] }");
    }

    private static async Task<(int Http, int Mqtt)> ReadPortsAsync(Process service)
    {
        while (await service.StandardOutput.ReadLineAsync() is { } line)
        {
            var read = JsonElement.Parse(line);
            if (read.TryGetProperty("MqttPort", out var mqtt))
            {
                return (read.GetProperty("HttpPort").GetInt32(), mqtt.GetInt32());
            }
        }

        throw new InvalidOperationException("The service ended before it listened.");
    }
}
