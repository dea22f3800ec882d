using System.Globalization;
using System.Text;
using Saltograph.Ahrs;

namespace Saltograph.Service.Results;

/// <summary>Orientation as CSV: one line per row of the input, UTF-8 without a byte order mark, line feeds.</summary>
internal static class OrientationLines
{
    /// <summary>The columns.</summary>
    public const string Header = "row,time_s,qw,qx,qy,qz,bias_x_radps,bias_y_radps,bias_z_radps,rest";

    /// <summary>Writes a file anew: all of it, or the old one stays.</summary>
    public static void WriteFile(string path, IReadOnlyList<double> timesS, OrientationSeries series, bool hasBias)
    {
        var unfinished = $"{path}.{Environment.ProcessId}.part";
        try
        {
            using (var writer = new StreamWriter(unfinished, append: false, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false)))
            {
                writer.NewLine = "\n";
                Write(writer, timesS, series, hasBias);
            }

            File.Move(unfinished, path, overwrite: true);
        }
        finally
        {
            File.Delete(unfinished);
        }
    }

    /// <summary>Writes header and lines. Ten decimals: finer than any filter is sure of. Without a bias its cells are empty.</summary>
    public static void Write(TextWriter writer, IReadOnlyList<double> timesS, OrientationSeries series, bool hasBias)
    {
        writer.WriteLine(Header);
        for (var row = 0; row < series.Length; row++)
        {
            var q = series.EarthFromSensor[row];
            var bias = series.GyroscopeBiasSensorRadps[row];
            var biasCells = hasBias
                ? string.Create(CultureInfo.InvariantCulture, $"{bias.X:F10},{bias.Y:F10},{bias.Z:F10}")
                : ",,";
            writer.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{row},{timesS[row]:R},{q.W:F10},{q.X:F10},{q.Y:F10},{q.Z:F10},{biasCells},{(series.IsAtRest[row] ? 1 : 0)}"));
        }
    }
}
