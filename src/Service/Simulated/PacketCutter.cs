using Saltograph.Imu;
using Saltograph.Wire.Packets;

namespace Saltograph.Service.Simulated;

/// <summary>Cuts the samples of one simulated sensor into packets.</summary>
/// <param name="sensor">Whose.</param>
/// <param name="boot">Its power-up.</param>
/// <param name="sampleRateHz">Samples per second.</param>
internal sealed class PacketCutter(SensorId sensor, BootId boot, double sampleRateHz)
{
    private const int SamplesPerPacket = 20;
    private const double TransportS = 0.02;
    private const double CountMps2 = 32 * Gravity.StandardMps2 / 32_768; // 32 g and 2000 deg/s over 16 bit
    private const double CountRadps = 2000 * Angles.RadPerDeg / 32_768;

    // The device clock does not begin at the zero of the simulation, where a sample may lie a little before it.
    private const long DeviceMinusSimulationUs = 10_000_000;

    private readonly PacketWriter _writer = new();
    private readonly short[] _counts = new short[SamplesPerPacket * PacketFormat.AxesPerSample];
    private uint _sequence;

    /// <summary>Takes full packets off the front of the list.</summary>
    public List<TimedPacket> Cut(List<ImuSample> samples)
    {
        var packets = new List<TimedPacket>();
        var first = 0;
        for (; first + SamplesPerPacket <= samples.Count; first += SamplesPerPacket)
        {
            for (var i = 0; i < SamplesPerPacket; i++)
            {
                var (force, rate) = (samples[first + i].SpecificForceSensorMps2, samples[first + i].AngularRateSensorRadps);
                double[] axes =
                [
                    force.X / CountMps2, force.Y / CountMps2, force.Z / CountMps2, rate.X / CountRadps, rate.Y / CountRadps, rate.Z / CountRadps,
                ];
                for (var axis = 0; axis < axes.Length; axis++)
                {
                    _counts[(i * axes.Length) + axis] = (short)Math.Clamp(Math.Round(axes[axis]), short.MinValue, short.MaxValue);
                }
            }

            var header = new PacketHeader
            {
                Boot = boot,
                Sequence = _sequence++,
                FirstSampleDeviceMicroseconds = samples[first].Time.Microseconds + DeviceMinusSimulationUs,
                IntervalNanoseconds = (uint)Math.Round(1e9 / sampleRateHz),
                AccelerometerCountMps2 = CountMps2,
                GyroscopeCountRadps = CountRadps,
            };
            packets.Add(new(samples[first + SamplesPerPacket - 1].Time.Seconds + TransportS, sensor, _writer.Write(header, _counts)));
        }

        samples.RemoveRange(0, first);
        return packets;
    }
}
