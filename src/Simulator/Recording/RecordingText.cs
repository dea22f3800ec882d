using System.Globalization;
using Saltograph.Imu;

namespace Saltograph.Simulator.Recording;

/// <summary>Writes one sensor's samples as a CSV recording: comma, one header row, SI units, LF.</summary>
public static class RecordingText
{
    /// <summary>The header row.</summary>
    public const string Header = "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps";

    /// <summary>Writes header and rows. Six decimals of a second, seven significant digits (finer than 16 bits).</summary>
    public static void Write(TextWriter text, IEnumerable<ImuSample> samples)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(samples);
        text.Write(Header);
        text.Write('\n');
        Span<char> buffer = stackalloc char[32];
        foreach (var sample in samples)
        {
            Number(text, buffer, sample.Time.Seconds, "F6");
            foreach (var value in (ReadOnlySpan<double>)
            [
                sample.SpecificForceSensorMps2.X, sample.SpecificForceSensorMps2.Y, sample.SpecificForceSensorMps2.Z,
                sample.AngularRateSensorRadps.X, sample.AngularRateSensorRadps.Y, sample.AngularRateSensorRadps.Z,
            ])
            {
                text.Write(',');
                Number(text, buffer, value, "G7");
            }

            text.Write('\n');
        }
    }

    private static void Number(TextWriter text, Span<char> buffer, double value, string format)
    {
        _ = value.TryFormat(buffer, out var written, format, CultureInfo.InvariantCulture);
        text.Write(buffer[..written]);
    }
}
