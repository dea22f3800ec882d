using System.Globalization;
using System.IO.Compression;

namespace Saltograph.Testing;

/// <summary>A table of numbers read from a (gzipped) CSV file of the reference data; empty cells are NaN.</summary>
public sealed class SharedTable
{
    private readonly Dictionary<string, double[]> _columns;

    private SharedTable(Dictionary<string, double[]> columns, int rows)
    {
        _columns = columns;
        Rows = rows;
    }

    /// <summary>Number of data rows.</summary>
    public int Rows { get; }

    /// <summary>Names of the columns.</summary>
    public IReadOnlyCollection<string> Names => _columns.Keys;

    /// <summary>One column by name.</summary>
    public double[] this[string name] => _columns[name];

    /// <summary>Reads the whole file. Cells that are not numbers become NaN.</summary>
    public static SharedTable Read(string path)
    {
        using var file = File.OpenRead(path);
        using Stream stream = path.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(file, CompressionMode.Decompress) : file;
        using var reader = new StreamReader(stream);
        var names = reader.ReadLine()!.Split(',');
        var columns = names.Select(_ => new List<double>()).ToArray();
        while (reader.ReadLine() is { Length: > 0 } line)
        {
            var cells = line.Split(',');
            for (var c = 0; c < names.Length; c++)
            {
                columns[c].Add(double.TryParse(cells[c], NumberStyles.Float, CultureInfo.InvariantCulture, out var value) ? value : double.NaN);
            }
        }

        return new(names.Zip(columns).ToDictionary(pair => pair.First, pair => pair.Second.ToArray(), StringComparer.Ordinal), columns[0].Count);
    }
}
