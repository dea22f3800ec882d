using FsCheck.Fluent;
using FsCheck.Xunit;
using Saltograph.Imu;
using Saltograph.Service.Recordings;
using Saltograph.Simulator.Recording;

namespace Saltograph.Service.Tests.Recordings;

public sealed class SimulatedRecordingTests
{
    [Property(MaxTest = 30)]
    public FsCheck.Property What_the_simulator_writes_is_read_back() => Prop.ForAll(
        Gen.Choose(-32_768, 32_767).ArrayOf(60).ToArbitrary(),
        counts =>
        {
            using var folder = new TemporaryFolder();
            var samples = counts.Chunk(6).Select((c, i) => new ImuSample(
                new(10_000L * i), 0.004788403 * new Vector3D(c[0], c[1], c[2]), 0.001065264 * new Vector3D(c[3], c[4], c[5]))).ToArray();
            var path = folder.File("written.csv");
            using (var text = new StreamWriter(path))
            {
                RecordingText.Write(text, samples);
            }

            var fault = RecordingReader.Read(new(path, null), null, out var recording);
            return fault is null
                && recording!.TimesS.Select(SampleTime.FromSeconds).SequenceEqual(samples.Select(sample => sample.Time))
                && recording.SpecificForcesSensorMps2.Zip(samples).All(pair => (pair.First - pair.Second.SpecificForceSensorMps2).Length < 1e-4)
                && recording.AngularRatesSensorRadps.Zip(samples).All(pair => (pair.First - pair.Second.AngularRateSensorRadps).Length < 1e-4);
        });
}
