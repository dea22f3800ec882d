using System.Diagnostics;
using Saltograph.Pipeline;
using Saltograph.Simulator.Network;

namespace Saltograph.Benchmarks;

/// <summary>
/// Nanoseconds and allocated bytes per sample of the whole <c>Push</c>: packets of one simulated gymnast, three sensors,
/// from bytes to jumps. The second of two passes is counted, when buffers have grown and the code is compiled.
/// </summary>
internal static class PipelineCost
{
    private const double DurationS = 120;
    private const int Passes = 5;

    public static int Run()
    {
        var network = NetworkOptions.Faultless;
        var hall = new HallSimulation(new() { AthleteCount = 1 }, network);
        var packets = new List<SimulatedPacket>();
        hall.Advance(DurationS, packets);
        var samples = (double)packets.Count * network.SamplesPerPacket;
        Console.WriteLine("pass  ns/sample  bytes/sample between jumps  bytes/jump  jumps");
        for (var pass = 0; pass < Passes; pass++)
        {
            var pipeline = new AthletePipeline(
                hall.Sensors[0].Athlete, hall.Sensors.ToDictionary(sensor => sensor.Sensor, sensor => sensor.Site), new());
            var output = new PipelineOutput();
            long quietBytes = 0, eventBytes = 0, quietPackets = 0, jumps = 0;
            var clock = Stopwatch.StartNew();
            for (var i = 0; i < packets.Count; i++)
            {
                output.Clear();
                var before = GC.GetAllocatedBytesForCurrentThread();
                pipeline.Push(packets[i].Sensor.Sensor, packets[i].Bytes, hall.HallTime(packets[i].ReceivedS), output);
                var bytes = GC.GetAllocatedBytesForCurrentThread() - before;
                jumps += output.Jumps.Count;

                // The first seconds grow the buffers; what an event allocates belongs to the event.
                var isEvent = output.Jumps.Count + output.Landings.Count + output.RefusedFlights.Count + output.Sensors.Count > 0;
                eventBytes += isEvent && i > packets.Count / 4 ? bytes : 0;
                quietBytes += !isEvent && i > packets.Count / 4 ? bytes : 0;
                quietPackets += !isEvent && i > packets.Count / 4 ? 1 : 0;
            }

            var ns = clock.Elapsed.TotalNanoseconds / samples;
            Console.WriteLine(FormattableString.Invariant(
                $"{pass,4}  {ns,9:0}  {quietBytes / (double)(quietPackets * network.SamplesPerPacket),26:0.000}  {eventBytes / Math.Max(1.0, 0.75 * jumps),10:0}  {jumps,5}"));
        }

        return 0;
    }
}
