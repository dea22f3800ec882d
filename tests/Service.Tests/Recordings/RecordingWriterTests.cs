using FsCheck.Fluent;
using FsCheck.Xunit;
using Saltograph.Imu;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Tests.Recordings;

public sealed class RecordingWriterTests
{
    [Property(MaxTest = 30)]
    public FsCheck.Property What_was_written_is_read_back() => Prop.ForAll(
        Gen.Choose(-32_768, 32_767).ArrayOf(60).ToArbitrary(),
        counts =>
        {
            using var folder = new TemporaryFolder();
            var samples = counts.Chunk(6).Select((c, i) => new ImuSample(
                new(10_000L * i), 0.004788403 * new Vector3D(c[0], c[1], c[2]), 0.001065264 * new Vector3D(c[3], c[4], c[5]))).ToArray();
            var path = folder.File("written.csv");
            RecordingWriter.WriteAsync(path, samples, CancellationToken.None).GetAwaiter().GetResult();
            var fault = RecordingReader.Read(new(path, null), null, out var recording);
            return fault is null
                && recording!.TimesS.Select(SampleTime.FromSeconds).SequenceEqual(samples.Select(sample => sample.Time))
                && recording.SpecificForcesSensorMps2.Zip(samples).All(pair => (pair.First - pair.Second.SpecificForceSensorMps2).Length < 1e-6)
                && recording.AngularRatesSensorRadps.Zip(samples).All(pair => (pair.First - pair.Second.AngularRateSensorRadps).Length < 1e-6);
        });
}
