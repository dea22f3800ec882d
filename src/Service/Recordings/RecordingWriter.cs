using System.Globalization;
using Saltograph.Imu;

namespace Saltograph.Service.Recordings;

/// <summary>Writes the samples of one sensor as a CSV recording: UTF-8 without a byte order mark, line feeds.</summary>
internal static class RecordingWriter
{
    private const string Header = "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps\n";

    /// <summary>Writes a file anew.</summary>
    /// <param name="path">The file.</param>
    /// <param name="samples">The samples, in order.</param>
    /// <param name="stop">Ends it in the middle.</param>
    public static async Task WriteAsync(string path, IEnumerable<ImuSample> samples, CancellationToken stop)
    {
        await using var text = new StreamWriter(path);
        await text.WriteAsync(Header.AsMemory(), stop);
        foreach (var sample in samples)
        {
            var (force, rate) = (sample.SpecificForceSensorMps2, sample.AngularRateSensorRadps);

            // Microseconds, and nine significant digits: far below one count of any sensor.
            var line = string.Create(
                CultureInfo.InvariantCulture,
                $"{sample.Time.Microseconds / 1_000_000m:0.000000},{force.X:G9},{force.Y:G9},{force.Z:G9},{rate.X:G9},{rate.Y:G9},{rate.Z:G9}\n");
            await text.WriteAsync(line.AsMemory(), stop);
        }
    }
}
