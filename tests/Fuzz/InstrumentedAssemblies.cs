using System.Reflection;
using System.Runtime.Loader;

namespace Saltograph.Fuzz;

/// <summary>
/// Copies of our assemblies in which every basic block counts that it was passed, beside the originals in the same process. What is not ours is shared with them and does not count:
/// the readers of CBOR and JSON belong to the framework, whose native code cannot be instrumented.
/// </summary>
public sealed class InstrumentedAssemblies : AssemblyLoadContext
{
    // The second column: which types; the rest of these assemblies is not reached by a target.
    private static readonly (string Assembly, string[] Types)[] Instrumented =
    [
        ("saltograph", ["Saltograph.Service.Api", "Saltograph.Service.People", "Saltograph.Service.Privacy", "Saltograph.Service.Recordings", "Saltograph.Service.Configuration", "Saltograph.Service.Warnings"]),
        ("Saltograph.Store", ["Saltograph.Store.Recordings"]),
        ("Saltograph.Wire", ["Saltograph.Wire"]),
        ("Saltograph.Load", ["Saltograph.Load"]),
        ("Saltograph.Imu", ["Saltograph.Imu"]),
        ("Saltograph.Testing", ["Saltograph.Testing.PlantedDefect"]),
    ];

    private readonly Dictionary<string, byte[]> _images = new(StringComparer.Ordinal);

    /// <summary>Instruments copies of the assemblies beside this program.</summary>
    public InstrumentedAssemblies()
        : base("instrumented")
    {
        var folder = Directory.CreateDirectory(Path.Combine(AppContext.BaseDirectory, $"instrumented-{Environment.ProcessId}"));
        try
        {
            foreach (var (name, types) in Instrumented)
            {
                var copy = Path.Combine(folder.FullName, name + ".dll");
                File.Copy(Path.Combine(AppContext.BaseDirectory, name + ".dll"), copy);
                if (!SharpFuzz.Fuzzer.Instrument(copy, type => types.Any(begin => type.StartsWith(begin, StringComparison.Ordinal)), SharpFuzz.Options.Value).Any())
                {
                    throw new InvalidOperationException($"{name}: nothing was instrumented.");
                }

                _images[name] = File.ReadAllBytes(copy);
            }
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    /// <summary>Opens a target in the instrumented copies.</summary>
    /// <param name="target">Its name.</param>
    public Action<ReadOnlyMemory<byte>> Open(string target)
    {
        var catalogue = LoadFromAssemblyName(new("Saltograph.Fuzz")).GetType(typeof(Targets.Catalogue).FullName!, throwOnError: true)!;
        return (Action<ReadOnlyMemory<byte>>)catalogue.GetMethod(nameof(Targets.Catalogue.Open))!.Invoke(null, [target])!;
    }

    /// <inheritdoc/>
    protected override Assembly? Load(AssemblyName assemblyName)
    {
        ArgumentNullException.ThrowIfNull(assemblyName);
        if (_images.TryGetValue(assemblyName.Name!, out var image))
        {
            return LoadFromStream(new MemoryStream(image));
        }

        var isOurs = assemblyName.Name!.StartsWith("Saltograph.", StringComparison.Ordinal);
        return isOurs ? LoadFromAssemblyPath(Path.Combine(AppContext.BaseDirectory, assemblyName.Name + ".dll")) : null;
    }
}
