using System.Text.Json;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using Saltograph.Testing;

namespace Saltograph.Architecture;

/// <summary>Every package that is taken is listed with its licence in <c>src/LICENCES.md</c>, and no other. SALTOGRAPH_APPROVE=1 writes the list anew from the packages themselves.</summary>
public sealed partial class LicenceTests
{
    private const string Head = "|---|---|---|---|\n";

    // What an MIT program may be shipped with, and what its tests may be run with (SPDX ids).
    private static readonly string[] Allowed = ["MIT", "Apache-2.0", "BSD-2-Clause", "BSD-3-Clause", "PostgreSQL", "MPL-2.0"];
    private static readonly string Page = Path.Combine(Repository.Root, "src", "LICENCES.md");

    [GeneratedRegex(@"^\| (?<name>\S+) \| (?<version>\S+) \| (?<licence>\S+) \| (?<use>\S+) \|$", RegexOptions.Multiline | RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex Row { get; }

    [Fact]
    public void Every_package_of_the_lock_files_is_listed_with_its_licence_and_no_other()
    {
        var text = File.ReadAllText(Page).ReplaceLineEndings("\n");
        var before = Row.Matches(text).DistinctBy(row => row.Groups["name"].Value, StringComparer.Ordinal)
            .ToDictionary(row => row.Groups["name"].Value, row => row.Groups["licence"].Value, StringComparer.Ordinal);
        var rows = Locked().Select(package => $"| {package.Name} | {package.Version} | {LicenceOf(package.Name, package.Version) ?? before.GetValueOrDefault(package.Name, "unknown")} | {package.Use} |");
        var table = string.Join('\n', rows) + "\n";
        var start = text.IndexOf(Head, StringComparison.Ordinal) + Head.Length;
        if (string.Equals(Environment.GetEnvironmentVariable("SALTOGRAPH_APPROVE"), "1", StringComparison.Ordinal))
        {
            File.WriteAllText(Page, text[..start] + table);
            return;
        }

        Violations.None(LineDifference.Of(text[start..].Split('\n'), table.Split('\n')));
    }

    [Fact]
    public void Every_licence_is_one_that_is_allowed()
    {
        var rows = Row.Matches(File.ReadAllText(Page));
        Assert.True(rows.Count > 50, $"{rows.Count} rows");
        Violations.None(rows.Where(row => !Allowed.Contains(row.Groups["licence"].Value, StringComparer.Ordinal)).Select(row => row.Value));
    }

    private static (string Name, string Version, string Use)[] Locked()
    {
        var analysers = AnalyserNames;
        var packages = new SortedDictionary<string, (string Name, string Version, string Use)>(StringComparer.OrdinalIgnoreCase);
        foreach (var (folder, use) in (ReadOnlySpan<(string, string)>)[("tests", "tests"), ("src", "program")])
        {
            foreach (var file in SourceFiles.All(Path.Combine(Repository.Root, folder)).Where(file => Path.GetFileName(file) == "packages.lock.json"))
            {
                using var text = JsonDocument.Parse(File.ReadAllText(file));
                foreach (var package in text.RootElement.GetProperty("dependencies").EnumerateObject().SelectMany(framework => framework.Value.EnumerateObject()))
                {
                    if (package.Value.TryGetProperty("resolved", out var version))
                    {
                        packages[$"{package.Name} {version}"] = (package.Name, version.GetString()!, analysers.Contains(package.Name, StringComparer.Ordinal) ? "build" : use);
                    }
                }
            }
        }

        return [.. packages.Values];
    }

    private static string[] AnalyserNames => [.. XDocument.Load(Path.Combine(Repository.Root, "Directory.Packages.props"))
        .Descendants("GlobalPackageReference").Select(package => package.Attribute("Include")!.Value)];

    // As the package says itself, where it says it by an id of SPDX; null for others, whose row is written by hand, and where packages are not kept.
    private static string? LicenceOf(string name, string version)
    {
        var cache = Environment.GetEnvironmentVariable("NUGET_PACKAGES")
            ?? Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.UserProfile), ".nuget", "packages");
        var lower = name.ToLowerInvariant();
        var file = Path.Combine(cache, lower, version.ToLowerInvariant(), lower + ".nuspec");
        return !File.Exists(file) ? null : XDocument.Load(file).Descendants().FirstOrDefault(element => element.Name.LocalName == "license" && element.Attribute("type")?.Value == "expression")?.Value;
    }
}
