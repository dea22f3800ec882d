using System.Globalization;
using Saltograph.Imu;

namespace Saltograph.Simulator.Recording;

/// <summary>Writes samples as a CSV recording: comma, one header row, SI units, LF; digits that give the same double again.</summary>
public static partial class RecordingText
{
    /// <summary>The header row.</summary>
    public const string Header = "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps";

    /// <summary>Writes header and rows of one sensor.</summary>
    public static void Write(TextWriter text, IEnumerable<ImuSample> samples)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(samples);
        text.Write(Header);
        text.Write('\n');
        foreach (var sample in samples)
        {
            Time(text, sample.Time);
            Cells(text, sample);
            text.Write('\n');
        }
    }

    private static void Time(TextWriter text, SampleTime time)
    {
        Span<char> digits = stackalloc char[32];
        _ = (time.Microseconds / 1_000_000m).TryFormat(digits, out var length, "0.000000", CultureInfo.InvariantCulture);
        text.Write(digits[..length]);
    }

    private static void Cells(TextWriter text, ImuSample? sample)
    {
        if (sample is not { IsFinite: true } present)
        {
            text.Write(",,,,,,"); // a lost sample
            return;
        }

        Cells(text, present.SpecificForceSensorMps2);
        Cells(text, present.AngularRateSensorRadps);
    }

    private static void Cells(TextWriter text, Vector3D value)
    {
        Span<char> digits = stackalloc char[32];
        foreach (var component in (ReadOnlySpan<double>)[value.X, value.Y, value.Z])
        {
            _ = component.TryFormat(digits, out var length, "R", CultureInfo.InvariantCulture);
            text.Write(',');
            text.Write(digits[..length]);
        }
    }
}
