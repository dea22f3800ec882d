using Saltograph.Imu;
using Saltograph.Pipeline;
using Saltograph.Service.Facts;
using Saltograph.Wire.Packets;

namespace Saltograph.Service.Athletes;

/// <summary>
/// Runs the measuring once on a made-up athlete who stands still and is forgotten again: what runs for the first time is
/// compiled first, and the first real packets would seem up to a tenth of a second late to the clocks of their sensors.
/// </summary>
internal static class WarmUp
{
    private const int Packets = 80;
    private const int SamplesPerPacket = 20;
    private const double SampleRateHz = 416;
    private const double CountMps2 = 16 * Gravity.StandardMps2 / 32_768;

    /// <summary>Does it; takes some tenths of a second.</summary>
    public static void Run()
    {
        var athlete = new AthleteId("warm-up");
        var sensors = Enum.GetValues<Site>().ToDictionary(site => new SensorId(site.Name()), site => site);
        var measuring = new AthleteMeasuring(athlete, sensors, new PipelineOptions(), new DayLedger(TimeZoneInfo.Utc));
        var writer = new PacketWriter();
        var facts = new List<Fact>();
        for (var sequence = 0; sequence < Packets; sequence++)
        {
            var firstSampleUs = (long)(sequence * SamplesPerPacket * 1e6 / SampleRateHz);
            var packet = Standing(writer, (uint)sequence, firstSampleUs);
            foreach (var sensor in sensors.Keys)
            {
                measuring.Push(new(sensor, packet, new(firstSampleUs)), facts);
            }
        }

        measuring.Complete(facts);
    }

    private static byte[] Standing(PacketWriter writer, uint sequence, long firstSampleUs)
    {
        var counts = new short[SamplesPerPacket * PacketFormat.AxesPerSample];
        for (var i = 0; i < SamplesPerPacket; i++)
        {
            counts[(i * PacketFormat.AxesPerSample) + 2] = (short)(Gravity.StandardMps2 / CountMps2);
        }

        return writer.Write(
            new PacketHeader
            {
                Boot = new(1),
                Sequence = sequence,
                FirstSampleDeviceMicroseconds = firstSampleUs,
                IntervalNanoseconds = (uint)Math.Round(1e9 / SampleRateHz),
                AccelerometerCountMps2 = CountMps2,
                GyroscopeCountRadps = 0.001,
            },
            counts);
    }
}
