namespace Saltograph.Architecture;

/// <summary>A list that must be empty; a failure shows all of it.</summary>
internal static class Violations
{
    public static void None(IEnumerable<string> violations)
    {
        var found = violations.Distinct(StringComparer.Ordinal).ToList();
        Assert.True(found.Count == 0, $"{found.Count} found:\n{string.Join('\n', found)}");
    }
}
