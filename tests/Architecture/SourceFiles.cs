using Saltograph.Testing;

namespace Saltograph.Architecture;

/// <summary>Files of the project, without what builds leave behind.</summary>
internal static class SourceFiles
{
    private static readonly string[] NotOurs = ["bin", "obj", "artifacts", "TestResults", "BenchmarkDotNet.Artifacts", ".git", ".vs", ".idea"];

    /// <summary>C# files below a folder.</summary>
    public static IEnumerable<string> Under(string folder) => All(folder).Where(file => file.EndsWith(".cs", StringComparison.Ordinal));

    /// <summary>All files below a folder.</summary>
    public static IEnumerable<string> All(string folder)
    {
        foreach (var file in Directory.EnumerateFiles(folder).Order(StringComparer.Ordinal))
        {
            yield return file;
        }

        var inner = Directory.EnumerateDirectories(folder).Where(path => !NotOurs.Contains(Path.GetFileName(path), StringComparer.Ordinal));
        foreach (var file in inner.Order(StringComparer.Ordinal).SelectMany(All))
        {
            yield return file;
        }
    }

    public static string Relative(string path) => Path.GetRelativePath(Repository.Root, path);
}
