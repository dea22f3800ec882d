using Saltograph.Testing;

namespace Saltograph.Fuzz;

/// <summary>Inputs that campaigns have found, one file for each target, one input to a line in Base64 (RFC 4648).</summary>
public static class Corpus
{
    private static string Folder => Path.Combine(Repository.Root, "tests", "Fuzz", "corpus");

    /// <summary>What is kept for a target; none when there is no file yet.</summary>
    public static IReadOnlyList<byte[]> Read(string target) =>
        File.Exists(PathOf(target)) ? [.. File.ReadLines(PathOf(target)).Where(line => line.Length > 0).Select(Convert.FromBase64String)] : [];

    /// <summary>Keeps inputs in place of those before.</summary>
    public static void Write(string target, IEnumerable<byte[]> inputs)
    {
        ArgumentNullException.ThrowIfNull(inputs);
        Directory.CreateDirectory(Folder);
        File.WriteAllText(PathOf(target), string.Concat(inputs.Select(input => Convert.ToBase64String(input) + "\n")));
    }

    private static string PathOf(string target) => Path.Combine(Folder, target + ".txt");
}
