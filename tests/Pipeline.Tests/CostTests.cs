using System.Globalization;

namespace Saltograph.Pipeline.Tests;

public class CostTests
{
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Nothing_is_allocated_per_packet_or_sample_when_warm(bool isReordered)
    {
        // Standing only: a jump may allocate.
        var still = new[] { Runs.Trunk, Runs.AnkleLeft, Runs.AnkleRight }.Select(sensor => sensor.Packets(0, VirtualSensor.FirstJumpS - 0.5)).ToArray();
        var messages = Repeat(still, times: 20);
        if (isReordered)
        {
            for (var i = 0; i + 4 < messages.Count; i += 5)
            {
                (messages[i], messages[i + 3]) = (messages[i + 3], messages[i]);
            }
        }

        var pipeline = Runs.New(Runs.Trunk, Runs.AnkleLeft, Runs.AnkleRight);
        var output = new PipelineOutput();
        var half = messages.Count / 2;
        long before = 0;
        for (var i = 0; i < messages.Count; i++)
        {
            if (i == half)
            {
                before = GC.GetAllocatedBytesForCurrentThread();
            }

            output.Clear();
            pipeline.Push(messages[i].Sensor, messages[i].Packet, messages[i].Received, output);
        }

        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
        Assert.Equal(messages.Count, pipeline.Faults[Wire.Packets.PacketFault.None]);
    }

    [Fact]
    public void A_landing_leaves_within_150_ms_of_data_after_contact()
    {
        // 417.8 Hz, so that jumps fall anywhere in the packets; packets of 24 samples, three sensors whose packets are
        // complete at different times, 5 ms on the way.
        var sensors = new[] { Runs.Trunk, Runs.AnkleLeft, Runs.AnkleRight }
            .Select((sensor, i) => sensor with { IntervalNs = 2_393_700, KnowsOffset = true, PhaseS = 0.021 * i })
            .ToArray();
        var pipeline = Runs.New(sensors);
        var output = new PipelineOutput();
        var latenciesS = new List<double>();
        var jumpLatenciesS = new List<double>();
        foreach (var message in Runs.Delay(Runs.Merge([.. sensors.Select(sensor => sensor.Packets(0, 120))]), () => 0.005))
        {
            output.Clear();
            pipeline.Push(message.Sensor, message.Packet, message.Received, output);
            foreach (var landing in output.Landings)
            {
                // The true contact of the jump that this landing belongs to.
                var t = landing.Landing.LandingTime - VirtualSensor.Start - VirtualSensor.FirstJumpS;
                var jump = Math.Floor(t / VirtualSensor.JumpEveryS);
                var contact = VirtualSensor.FirstJumpS + (jump * VirtualSensor.JumpEveryS) + VirtualSensor.LandingAfterS;
                latenciesS.Add(message.Received - VirtualSensor.Start - contact);
            }

            jumpLatenciesS.AddRange(output.Jumps.Select(jump => message.Received - jump.Jump.LandingTime));
        }

        Assert.InRange(latenciesS.Count, 37, 39);
        TestContext.Current.TestOutputHelper!.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{latenciesS.Count} landings: median {latenciesS.Order().ElementAt(latenciesS.Count / 2) * 1e3:F0} ms, worst {latenciesS.Max() * 1e3:F0} ms; jumps worst {jumpLatenciesS.Max() * 1e3:F0} ms"));
        Assert.InRange(latenciesS.Max(), 0, 0.150);
    }

    // The same stretch again and again with clocks and sequence numbers that go on.
    private static List<Message> Repeat(List<Message>[] streams, int times)
    {
        var reader = new Wire.Packets.PacketReader();
        var writer = new Wire.Packets.PacketWriter();
        var buffer = new Wire.Packets.PacketBuffer();
        var all = new List<Message>();
        foreach (var stream in streams)
        {
            var lengthUs = (long)(stream.Count * 24 * 2500);
            for (var k = 0; k < times; k++)
            {
                for (var p = 0; p < stream.Count; p++)
                {
                    reader.TryRead(stream[p].Packet, buffer);
                    var counts = new short[6 * buffer.Count];
                    for (var i = 0; i < counts.Length; i++)
                    {
                        counts[i] = buffer.RawCount(i / 6, i % 6);
                    }

                    var header = buffer.Header with
                    {
                        Sequence = (uint)((k * stream.Count) + p),
                        FirstSampleDeviceMicroseconds = buffer.Header.FirstSampleDeviceMicroseconds + (k * lengthUs),
                    };
                    all.Add(new(stream[p].Sensor, writer.Write(header, counts), new(stream[p].Received.Microseconds + (k * lengthUs))));
                }
            }
        }

        return Runs.Merge(all);
    }
}
