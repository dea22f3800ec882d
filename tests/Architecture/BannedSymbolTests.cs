using System.Text.RegularExpressions;

namespace Saltograph.Architecture;

/// <summary>The core has no clock, no threads, no console, no files, and the build really refuses them.</summary>
public sealed partial class BannedSymbolTests
{
    private const string RuleId = "RS0030";

    // One line of code for each line of BannedSymbols.txt.
    private static readonly Dictionary<string, string> Uses = new(StringComparer.Ordinal)
    {
        ["P:System.DateTime.Now"] = "_ = System.DateTime.Now;",
        ["P:System.DateTime.UtcNow"] = "_ = System.DateTime.UtcNow;",
        ["P:System.DateTimeOffset.Now"] = "_ = System.DateTimeOffset.Now;",
        ["P:System.DateTimeOffset.UtcNow"] = "_ = System.DateTimeOffset.UtcNow;",
        ["T:System.TimeProvider"] = "_ = System.TimeProvider.System;",
        ["T:System.Diagnostics.Stopwatch"] = "_ = System.Diagnostics.Stopwatch.GetTimestamp();",
        ["P:System.Random.Shared"] = "_ = System.Random.Shared;",
        ["M:System.Random.#ctor"] = "_ = new System.Random();",
        ["M:System.Guid.NewGuid"] = "_ = System.Guid.NewGuid();",
        ["M:System.Guid.CreateVersion7"] = "_ = System.Guid.CreateVersion7();",
        ["T:System.Threading.Thread"] = "System.Threading.Thread.Sleep(1);",
        ["T:System.Threading.Timer"] = "_ = new System.Threading.Timer(_ => { });",
        ["T:System.Threading.Tasks.Task"] = "_ = System.Threading.Tasks.Task.CompletedTask;",
        ["T:System.Threading.Tasks.ValueTask"] = "_ = System.Threading.Tasks.ValueTask.CompletedTask;",
        ["T:System.Threading.Tasks.Task`1"] = "_ = System.Threading.Tasks.Task<int>.Factory;",
        ["T:System.Threading.Tasks.ValueTask`1"] = "_ = new System.Threading.Tasks.ValueTask<int>(1);",
        ["T:System.Threading.Tasks.Parallel"] = "System.Threading.Tasks.Parallel.Invoke();",
        ["T:System.Threading.ThreadPool"] = "_ = System.Threading.ThreadPool.ThreadCount;",
        ["T:System.Environment"] = "_ = System.Environment.TickCount64;",
        ["T:System.Console"] = "System.Console.WriteLine();",
        ["T:System.IO.File"] = "_ = System.IO.File.Exists(string.Empty);",
        ["T:System.IO.Directory"] = "_ = System.IO.Directory.Exists(string.Empty);",
        ["T:System.IO.FileStream"] = "_ = new System.IO.FileStream(string.Empty, default(System.IO.FileMode));",
        ["T:System.Net.Sockets.Socket"] = "_ = System.Net.Sockets.Socket.OSSupportsIPv6;",
    };

    private static IReadOnlyList<string> Banned => File.ReadLines(Path.Combine(SourceProject.SourceFolder, "BannedSymbols.txt"))
        .Where(line => line.Length > 0)
        .Select(line => line.Split(';')[0])
        .ToList();

    [Fact]
    public void Every_core_project_is_built_with_the_list_and_the_analyser_as_an_error()
    {
        foreach (var project in SourceProject.Core)
        {
            Assert.Contains(project.Items("AdditionalFiles"), file => Path.GetFileName(file) == "BannedSymbols.txt");
            Assert.Contains("Microsoft.CodeAnalysis.BannedApiAnalyzers", project.Items("GlobalPackageReference"), StringComparer.Ordinal);
            Assert.Equal("true", project.Property("TreatWarningsAsErrors"));
            Assert.Contains(project.Property("RunAnalyzers"), ["", "true"], StringComparer.Ordinal);
            Assert.DoesNotContain(RuleId, project.Property("NoWarn"), StringComparison.Ordinal);
            Assert.DoesNotContain(RuleId, project.Property("WarningsNotAsErrors"), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void No_core_source_switches_the_rule_off()
    {
        var off = SourceProject.Core
            .SelectMany(project => SourceFiles.Under(project.Folder))
            .Where(file => File.ReadAllText(file).Contains(RuleId, StringComparison.Ordinal))
            .Append(Path.Combine(Testing.Repository.Root, ".editorconfig"))
            .Where(file => File.ReadAllText(file).Contains(RuleId, StringComparison.Ordinal));
        Violations.None(off);
    }

    [Fact]
    public void Every_banned_symbol_has_a_probe() =>
        Assert.Equal(Banned.Order(StringComparer.Ordinal), Uses.Keys.Order(StringComparer.Ordinal), StringComparer.Ordinal);

    // Builds the smallest core project with one more file that uses each banned symbol, outside the source folder.
    [Fact]
    public void A_use_of_any_banned_symbol_in_the_core_does_not_build()
    {
        var folder = Directory.CreateTempSubdirectory("saltograph-probe-").FullName;
        try
        {
            var probe = Path.Combine(folder, "Probe.cs");
            File.WriteAllLines(probe, ["internal static class Probe", "{", "    internal static void Use()", "    {", .. Uses.Values, "    }", "}"]);
            File.WriteAllText(
                Path.Combine(folder, "probe.targets"),
                $"""<Project><ItemGroup><Compile Include="{probe}" /></ItemGroup></Project>""");

            var (exitCode, output) = Tool.Dotnet(
                "build",
                Path.Combine(SourceProject.SourceFolder, "Imu", "Imu.csproj"),
                "--no-restore",
                "--configuration",
                "Release",
                "--verbosity",
                "quiet",
                "-nodeReuse:false",
                "-property:UseSharedCompilation=false",
                $"-property:CustomAfterMicrosoftCommonTargets={Path.Combine(folder, "probe.targets")}",
                $"-property:IntermediateOutputPath={folder}/obj/",
                $"-property:OutDir={folder}/bin/");

            Assert.NotEqual(0, exitCode);
            var refused = RefusedLine().Matches(output).Select(match => int.Parse(match.Groups["line"].ValueSpan, null)).ToHashSet();
            var missed = Uses.Keys.Where((_, index) => !refused.Contains(index + 5));
            Assert.True(!missed.Any(), $"built without an error: {string.Join(", ", missed)}\n{output}");
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [GeneratedRegex(@"Probe\.cs\((?<line>\d+),\d+\): error RS0030", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex RefusedLine();
}
