using System.Globalization;
using System.IO.Compression;
using System.Runtime.InteropServices;
using nietras.SeparatedValues;
using Saltograph.Imu;

namespace Saltograph.Service.Recordings;

/// <summary>Reads one sensor out of a CSV file: UTF-8, comma, one header row, columns by name in any order, gzip by its first bytes.</summary>
/// <remarks>
/// Columns: <c>time_s, acc_x_mps2, acc_y_mps2, acc_z_mps2, gyr_x_radps, gyr_y_radps, gyr_z_radps</c> and, as an option,
/// <c>mag_x_uT, mag_y_uT, mag_z_uT</c>; all but the time with the sensor's prefix and an underscore where the file holds
/// several sensors. A row with an empty accelerometer or gyroscope cell is a lost sample.
/// </remarks>
internal static class RecordingReader
{
    private static readonly string[] SixAxes =
        ["acc_x_mps2", "acc_y_mps2", "acc_z_mps2", "gyr_x_radps", "gyr_y_radps", "gyr_z_radps"];

    private static readonly string[] MagneticAxes = ["mag_x_uT", "mag_y_uT", "mag_z_uT"];

    /// <summary>Reads the whole file.</summary>
    /// <param name="reference">File and sensor.</param>
    /// <param name="fullScaleMps2">Accelerometer full scale, m/s2; null when unknown.</param>
    /// <param name="recording">The rows; null when there is a fault.</param>
    /// <returns>What is wrong, or null.</returns>
    public static InputFault? Read(RecordingReference reference, double? fullScaleMps2, out Recording? recording)
    {
        recording = null;
        try
        {
            using var file = File.OpenRead(reference.Path);
            using var content = IsGzip(file) ? new GZipStream(file, CompressionMode.Decompress) : (Stream)file;
            return Read(content, reference, fullScaleMps2, out recording);
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return new(reference.Path, problem.Message.TrimEnd('.'), "a readable CSV file, plain or gzipped");
        }
        catch (InvalidDataException problem)
        {
            return new(reference.Path, problem.Message.TrimEnd('.'), "a CSV file, plain or gzipped, undamaged");
        }
    }

    /// <summary>Reads the whole of an open, uncompressed stream; see <see cref="Read(RecordingReference, double?, out Recording?)"/>.</summary>
    public static InputFault? Read(Stream content, RecordingReference reference, double? fullScaleMps2, out Recording? recording)
    {
        recording = null;
        using var text = new StreamReader(content);
        using var reader = Sep.New(',').Reader(options => options with
        {
            HasHeader = false,
            Unescape = true,
            DisableColCountCheck = true,
            CultureInfo = CultureInfo.InvariantCulture,
        }).From(text);
        if (!reader.MoveNext())
        {
            return new(reference.Path, "an empty file", "one header row and one row per sample", 1);
        }

        var header = Columns.Find(reader.Current, reference, out var columns);
        if (header is not null)
        {
            return header;
        }

        var rows = new Rows();
        while (reader.MoveNext())
        {
            var fault = rows.Add(reader.Current, columns!, reference);
            if (fault is not null)
            {
                return fault;
            }
        }

        return rows.Finish(columns!, reference, fullScaleMps2, out recording);
    }

    private static bool IsGzip(FileStream file)
    {
        Span<byte> start = stackalloc byte[2];
        var read = file.ReadAtLeast(start, start.Length, throwOnEndOfStream: false);
        file.Position = 0;
        return read == 2 && start[0] == 0x1f && start[1] == 0x8b; // RFC 1952 section 2.3.1
    }

    private sealed record Columns(int Count, int Time, int[] SixAxes, int[]? MagneticAxes, string[] Names)
    {
        public static InputFault? Find(SepReader.Row row, RecordingReference reference, out Columns? columns)
        {
            columns = null;
            var names = new string[row.ColCount];
            for (var i = 0; i < names.Length; i++)
            {
                names[i] = row[i].ToString().Trim();
            }

            var wanted = RecordingReader.SixAxes.Select(reference.Column).Prepend("time_s").ToArray();
            foreach (var name in wanted)
            {
                var times = names.Count(found => string.Equals(found, name, StringComparison.Ordinal));
                if (times != 1)
                {
                    var found = times == 0 ? $"no such column among {string.Join(' ', names)}" : "the column more than once";
                    return new(reference.Path, found, $"exactly one column {name}", 1, name);
                }
            }

            var magnetic = RecordingReader.MagneticAxes.Select(reference.Column).Select(name => Array.IndexOf(names, name)).ToArray();
            var six = wanted.Skip(1).Select(name => Array.IndexOf(names, name)).ToArray();
            columns = new(names.Length, Array.IndexOf(names, "time_s"), six, Array.TrueForAll(magnetic, i => i >= 0) ? magnetic : null, names);
            return null;
        }
    }

    private sealed class Rows
    {
        private readonly List<double> _timesS = [];
        private readonly List<Vector3D> _forces = [];
        private readonly List<Vector3D> _rates = [];
        private readonly List<Vector3D?> _fields = [];
        private readonly List<bool> _lost = [];

        public InputFault? Add(SepReader.Row row, Columns columns, RecordingReference reference)
        {
            if (row.ColCount == 1 && row.Span.Trim().IsEmpty)
            {
                return null; // an empty line, as at the end of many files
            }

            if (row.ColCount != columns.Count)
            {
                return new(reference.Path, $"{row.ColCount} cells", $"{columns.Count} cells, as in the header", row.LineNumberFrom);
            }

            var fault = Cell(row, columns.Time, columns, reference, out var timeS);
            if (fault is not null)
            {
                return fault;
            }

            if (timeS is not { } now || (_timesS.Count > 0 && !(now > _timesS[^1])))
            {
                var found = timeS is null ? "an empty cell" : string.Create(CultureInfo.InvariantCulture, $"{timeS} after {_timesS[^1]}");
                return new(reference.Path, found, "a time in seconds, later in each row", row.LineNumberFrom, "time_s");
            }

            Span<double?> six = stackalloc double?[6];
            fault = Cells(row, columns.SixAxes, columns, reference, six);
            Span<double?> magnetic = stackalloc double?[3];
            if (fault is null && columns.MagneticAxes is not null)
            {
                fault = Cells(row, columns.MagneticAxes, columns, reference, magnetic);
            }

            if (fault is not null)
            {
                return fault;
            }

            _timesS.Add(now);
            _lost.Add(six.Contains(null));
            _forces.Add(Vector(six) ?? default);
            _rates.Add(Vector(six[3..]) ?? default);
            _fields.Add(Vector(magnetic));
            return null;
        }

        public InputFault? Finish(Columns columns, RecordingReference reference, double? fullScaleMps2, out Recording? recording)
        {
            recording = null;
            var presentS = _timesS.Where((_, i) => !_lost[i]).ToArray();
            if (SampleRate.EstimateHz(presentS) is not { } sampleRateHz)
            {
                return new(reference.ToString(), $"{presentS.Length} rows with a sample", "at least 2");
            }

            if (!SampleRate.IsAccepted(sampleRateHz))
            {
                var found = string.Create(CultureInfo.InvariantCulture, $"a sample rate of {sampleRateHz:0.###} Hz");
                return new(reference.Path, found, $"{SampleRate.LowestHz} to {SampleRate.HighestHz} Hz", null, "time_s");
            }

            var (forces, rates, lost) = (_forces.ToArray(), _rates.ToArray(), _lost.ToArray());
            recording = new()
            {
                Reference = reference,
                TimesS = [.. _timesS],
                SpecificForcesSensorMps2 = forces,
                AngularRatesSensorRadps = rates,
                MagneticFieldsSensorUT = columns.MagneticAxes is null ? null : [.. _fields],
                Lost = lost,
                Marks = Saturation.Mark(forces, rates, lost, fullScaleMps2),
                SampleRateHz = sampleRateHz,
            };
            return null;
        }

        private static Vector3D? Vector(ReadOnlySpan<double?> values) =>
            values[0] is { } x && values[1] is { } y && values[2] is { } z ? new(x, y, z) : null;

        private static InputFault? Cells(SepReader.Row row, int[] which, Columns columns, RecordingReference reference, Span<double?> values)
        {
            for (var i = 0; i < which.Length; i++)
            {
                var fault = Cell(row, which[i], columns, reference, out values[i]);
                if (fault is not null)
                {
                    return fault;
                }
            }

            return null;
        }

        private static InputFault? Cell(SepReader.Row row, int index, Columns columns, RecordingReference reference, out double? value)
        {
            value = null;
            var text = row[index].Span.Trim();
            if (text.IsEmpty)
            {
                return null;
            }

            if (!double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) || !double.IsFinite(number))
            {
                return new(reference.Path, $"'{text}'", "a finite number, or nothing for a lost sample", row.LineNumberFrom, columns.Names[index]);
            }

            value = number;
            return null;
        }
    }
}
