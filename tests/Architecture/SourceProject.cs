using System.Reflection;
using System.Text.Json;
using Saltograph.Testing;

namespace Saltograph.Architecture;

/// <summary>One project under src as the build sees it, after all imports and conditions.</summary>
internal sealed class SourceProject
{
    private static readonly Lazy<SourceProject[]> Evaluated = new(() =>
        Directory.GetFiles(SourceFolder, "*.csproj", SearchOption.AllDirectories).Order(StringComparer.Ordinal).AsParallel().AsOrdered()
            .Select(Evaluate).ToArray());

    private readonly JsonElement _evaluation;

    private SourceProject(string path, JsonElement evaluation)
    {
        Path = path;
        _evaluation = evaluation;
    }

    public static string SourceFolder => System.IO.Path.Combine(Repository.Root, "src");

    public static IReadOnlyList<SourceProject> All => Evaluated.Value;

    /// <summary>The pure projects, by the switch that the build itself uses.</summary>
    public static IEnumerable<SourceProject> Core => All.Where(project => project.Property("SaltographCore") == "True");

    public string Path { get; }

    public string Name => System.IO.Path.GetFileNameWithoutExtension(Path);

    public string Folder => System.IO.Path.GetDirectoryName(Path)!;

    public Assembly Assembly => Assembly.Load(Property("AssemblyName"));

    public IEnumerable<string> ProjectReferences => Items("ProjectReference").Select(item => System.IO.Path.GetFileNameWithoutExtension(item));

    /// <summary>Packages that reach the program: the analysers of every project are not among them.</summary>
    public IEnumerable<string> Packages => Items("PackageReference").Except(Items("GlobalPackageReference"), StringComparer.Ordinal);

    public string Property(string name) => _evaluation.GetProperty("Properties").GetProperty(name).GetString()!;

    public IEnumerable<string> Items(string type) =>
        _evaluation.GetProperty("Items").GetProperty(type).EnumerateArray().Select(item => item.GetProperty("Identity").GetString()!);

    private static SourceProject Evaluate(string path)
    {
        var (exitCode, output) = Tool.Dotnet(
            "msbuild",
            path,
            "-nodeReuse:false",
            "-property:Configuration=Release",
            "-getProperty:SaltographCore,AssemblyName,UsingMicrosoftNETSdkWeb,TreatWarningsAsErrors,NoWarn,WarningsNotAsErrors,RunAnalyzers,DisableTransitiveProjectReferences,GenerateDocumentationFile",
            "-getItem:ProjectReference,PackageReference,GlobalPackageReference,FrameworkReference,Reference,AdditionalFiles,InternalsVisibleTo");
        return exitCode == 0
            ? new(path, JsonDocument.Parse(output).RootElement)
            : throw new InvalidOperationException($"{path} could not be evaluated: {output}");
    }
}
