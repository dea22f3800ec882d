namespace Saltograph.Fuzz.Targets;

/// <summary>The targets by name. In the instrumented copy of this assembly they call instrumented code.</summary>
public static class Catalogue
{
    /// <summary>Their names.</summary>
    public static IReadOnlyList<string> Names { get; } = ["packets", "csv", "recordings", "bodies", "planted"];

    /// <summary>Opens one. What it is called with is tried; an exception is a defect.</summary>
    public static Action<ReadOnlyMemory<byte>> Open(string name) => name switch
    {
        "packets" => new PacketTarget().Try,
        "csv" => CsvTarget.Try,
        "recordings" => RecordingTarget.Try,
        "bodies" => new BodyTarget().Try,
        "planted" => Testing.PlantedDefect.Try,
        _ => throw new ArgumentException($"Target: found '{name}'; allowed: {string.Join(", ", Names)}.", nameof(name)),
    };

    internal static void Must(bool holds, string what)
    {
        if (!holds)
        {
            throw new BrokenPromiseException(what);
        }
    }
}

/// <summary>A reader did not do what it says.</summary>
internal sealed class BrokenPromiseException(string what) : Exception(what);
