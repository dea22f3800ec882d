using System.Diagnostics;
using System.Text;
using System.Text.Json;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using Saltograph.Imu;
using Saltograph.Wire.Packets;

namespace Saltograph.Benchmarks;

/// <summary>
/// Packets per second through the embedded broker and the whole measuring, over loopback, each acknowledged (QoS 1): the
/// program in a process of its own, twelve athletes with three sensors, one connection per sensor.
/// </summary>
internal static class ServiceThroughput
{
    private const int Athletes = 12;
    private const int SamplesPerPacket = 20;
    private const double SampleRateHz = 416;
    private const int WarmUpPackets = 300;
    private const int Packets = 1500;
    private static readonly int[] Windows = [1, 8];
    private static readonly string[] Sites = ["trunk", "ankle-left", "ankle-right"];

    public static async Task<int> RunAsync()
    {
        var folder = Directory.CreateTempSubdirectory("saltograph-benchmark-");
        try
        {
            WriteConfiguration(folder.FullName);
            using var service = Process.Start(new ProcessStartInfo(Path.Combine(AppContext.BaseDirectory, "saltograph"), ["serve", "--config", folder.FullName])
            {
                RedirectStandardOutput = true,
                UseShellExecute = false,
            })!;
            var port = await ReadPortAsync(service);
            var log = service.StandardOutput.ReadToEndAsync();
            var clients = await Task.WhenAll(Sensors().Select(sensor => ConnectAsync(port, sensor.Sensor)));
            var sequence = 0;
            await SendAsync(clients, sequence, WarmUpPackets, Windows[^1]);
            sequence += WarmUpPackets;
            Console.WriteLine($"{Athletes} athletes, {clients.Length} sensors, {SamplesPerPacket} samples per packet, QoS 1, {Environment.ProcessorCount} cores");
            Console.WriteLine("window  packets/s  samples/s  times real time  service CPU us/packet");
            foreach (var window in Windows)
            {
                service.Refresh();
                var cpu = service.TotalProcessorTime;
                var clock = Stopwatch.StartNew();
                await SendAsync(clients, sequence, Packets, window);
                var seconds = clock.Elapsed.TotalSeconds;
                service.Refresh();
                sequence += Packets;
                var total = Packets * clients.Length;
                var rate = total / seconds;
                var realTime = rate / (clients.Length * SampleRateHz / SamplesPerPacket);
                var cpuUs = (service.TotalProcessorTime - cpu).TotalMicroseconds / total;
                Console.WriteLine(FormattableString.Invariant(
                    $"{window,6}  {rate,9:0}  {rate * SamplesPerPacket,9:0}  {realTime,15:0.0}  {cpuUs,21:0.0}"));
            }

            foreach (var (client, _) in clients)
            {
                await client.DisconnectAsync(new MqttClientDisconnectOptions());
                client.Dispose();
            }

            using var stop = Process.Start("kill", ["-TERM", FormattableString.Invariant($"{service.Id}")]);
            await service.WaitForExitAsync();
            var complaints = (await log).Split('\n').Where(line => line.Contains("\"@l\"", StringComparison.Ordinal)).ToList(); // only warnings and errors carry a level
            Console.WriteLine($"exit code {service.ExitCode}, {complaints.Count} warnings {complaints.FirstOrDefault()}");
            return service.ExitCode;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static IEnumerable<(string Sensor, string Athlete, string Site)> Sensors() =>
        from athlete in Enumerable.Range(1, Athletes)
        from site in Sites
        select ($"s{athlete}-{site}", $"athlete-{athlete}", site);

    private static void WriteConfiguration(string folder)
    {
        File.WriteAllText(Path.Combine(folder, "service.json"), "{ \"broker\": { \"embeddedBroker\": { \"port\": 0, \"anonymous\": true } }, \"http\": { \"port\": 0 } }");
        File.WriteAllText(Path.Combine(folder, "thresholds.json"), "{}");
        var roster = new StringBuilder("{ \"sensors\": [");
        roster.AppendJoin(',', Sensors().Select(sensor =>
            $"{{ \"sensor\": \"{sensor.Sensor}\", \"athlete\": \"{sensor.Athlete}\", \"site\": \"{sensor.Site}\" }}"));
        File.WriteAllText(Path.Combine(folder, "roster.json"), roster.Append("] }").ToString());
    }

    private static async Task<int> ReadPortAsync(Process service)
    {
        while (await service.StandardOutput.ReadLineAsync() is { } line)
        {
            if (JsonDocument.Parse(line).RootElement.TryGetProperty("MqttPort", out var port))
            {
                return port.GetInt32();
            }
        }

        throw new InvalidOperationException("The service ended before it listened.");
    }

    private static async Task<(IMqttClient Client, string Topic)> ConnectAsync(int port, string sensor)
    {
        var client = new MqttClientFactory().CreateMqttClient();
        var options = new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithClientId(sensor).WithProtocolVersion(MqttProtocolVersion.V500).Build();
        await client.ConnectAsync(options);
        return (client, $"saltograph/v1/hall-1/sensors/{sensor}/samples");
    }

    // One sender per athlete: her three sensors go in step, as they do on a body, each on its own connection.
    private static Task SendAsync((IMqttClient Client, string Topic)[] clients, int firstSequence, int count, int window) =>
        Task.WhenAll(clients.Chunk(Sites.Length).Select(worn => Task.Run(() => SendWornAsync(worn, firstSequence, count, window))));

    private static async Task SendWornAsync((IMqttClient Client, string Topic)[] worn, int firstSequence, int count, int window)
    {
        var open = new Queue<Task>();
        var writer = new PacketWriter();
        for (var i = 0; i < count; i++)
        {
            if (open.Count == window)
            {
                await open.Dequeue();
            }

            open.Enqueue(Task.WhenAll(worn.Select(sensor => sensor.Client.PublishAsync(new MqttApplicationMessage
            {
                Topic = sensor.Topic,
                PayloadSegment = new(Standing(writer, firstSequence + i)),
                QualityOfServiceLevel = MqttQualityOfServiceLevel.AtLeastOnce,
            }))));
        }

        await Task.WhenAll(open);
    }

    // A person who stands still: the cheapest movement and the most common one.
    private static byte[] Standing(PacketWriter writer, int sequence)
    {
        const double CountMps2 = 16 * Gravity.StandardMps2 / 32_768;
        var counts = new short[SamplesPerPacket * PacketFormat.AxesPerSample];
        for (var i = 0; i < SamplesPerPacket; i++)
        {
            counts[(i * PacketFormat.AxesPerSample) + 2] = (short)(Gravity.StandardMps2 / CountMps2);
        }

        return writer.Write(
            new PacketHeader
            {
                Boot = new(1),
                Sequence = (uint)sequence,
                FirstSampleDeviceMicroseconds = (long)(sequence * SamplesPerPacket * 1e6 / SampleRateHz),
                IntervalNanoseconds = (uint)Math.Round(1e9 / SampleRateHz),
                AccelerometerCountMps2 = CountMps2,
                GyroscopeCountRadps = 0.001,
                HallMinusDeviceMicroseconds = 1_790_000_000_000_000,
            },
            counts);
    }
}
