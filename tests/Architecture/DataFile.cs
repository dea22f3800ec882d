using Saltograph.Testing;

namespace Saltograph.Architecture;

/// <summary>A table as text: one row a line, cells between bars, '#' starts a comment line.</summary>
internal static class DataFile
{
    public static IReadOnlyList<string[]> Rows(string name, int columns)
    {
        var rows = File.ReadLines(PathOf(name))
            .Where(line => line.Length > 0 && line[0] != '#')
            .Select(line => line.Split('|', StringSplitOptions.TrimEntries))
            .ToList();
        var broken = rows.Find(row => row.Length != columns);
        return broken is null
            ? rows
            : throw new InvalidDataException($"{name}: found {broken.Length} cells in '{string.Join(" | ", broken)}'; allowed: {columns}.");
    }

    /// <summary>The parts of a cell; '-' is none.</summary>
    public static string[] List(string cell) => cell == "-" ? [] : cell.Split(',', StringSplitOptions.TrimEntries);

    public static string PathOf(string name) => Path.Combine(Repository.Root, "tests", "Architecture", name);
}
