using System.Text.RegularExpressions;
using Saltograph.Testing;

namespace Saltograph.Architecture;

/// <summary>Documents whose form others rely on, and links that lead somewhere.</summary>
public sealed partial class DocumentTests
{
    private static readonly string[] RecordHeadings =
        ["## Context", "## Decision", "## Consequences", "## How we would notice that it was wrong"];

    private static string Decisions => Path.Combine(SourceProject.SourceFolder, "decisions");

    [Fact]
    public void Every_relative_link_of_a_document_leads_to_a_file()
    {
        var broken = from document in SourceFiles.All(Repository.Root)
                     where document.EndsWith(".md", StringComparison.Ordinal)
                     from Match link in Link().Matches(File.ReadAllText(document))
                     let target = link.Groups["target"].Value
                     where !target.Contains("://", StringComparison.Ordinal)
                     where !Path.Exists(Path.Combine(Path.GetDirectoryName(document)!, target))
                     select $"{SourceFiles.Relative(document)} leads to {target}, which is not there";
        Violations.None(broken);
    }

    [Fact]
    public void Every_decision_has_status_date_and_four_parts_on_one_screen()
    {
        foreach (var (name, lines) in Records())
        {
            Assert.Matches(@"^\d{4}-[a-z0-9-]+\.md$", name);
            Assert.StartsWith($"# {name[..4]} ", lines[0], StringComparison.Ordinal);
            Assert.Matches(@"^Status: (accepted|superseded by \d{4})\. Date: \d{4}-\d{2}-\d{2}\.$", lines[2]);
            Assert.Equal(RecordHeadings, lines.Where(line => line.StartsWith("## ", StringComparison.Ordinal)), StringComparer.Ordinal);
            Assert.InRange(lines.Length, 15, 60);
        }
    }

    [Fact]
    public void The_list_of_decisions_is_complete_and_repeats_their_titles()
    {
        var list = File.ReadAllText(Path.Combine(Decisions, "README.md"));
        var missing = from record in Records()
                      let row = $"| [{record.Name[..4]}]({record.Name}) | {record.Lines[0][7..]} |"
                      where !list.Contains(row, StringComparison.Ordinal)
                      select row;
        Violations.None(missing);
    }

    [Fact]
    public void The_changelog_has_an_unreleased_part_with_results_and_wire()
    {
        var lines = File.ReadAllLines(Path.Combine(SourceProject.SourceFolder, "CHANGELOG.md"));
        var releases = lines.Where(line => line.StartsWith("## ", StringComparison.Ordinal)).ToList();
        Assert.Equal("## [Unreleased]", releases[0]);
        Assert.All(releases.Skip(1), release => Assert.Matches(@"^## \[\d+\.\d+\.\d+\] - \d{4}-\d{2}-\d{2}$", release));
        string[] allowed = ["### Added", "### Changed", "### Fixed", "### Removed", "### Results", "### Wire"];
        var headings = lines.Where(line => line.StartsWith("### ", StringComparison.Ordinal)).ToHashSet(StringComparer.Ordinal);
        Assert.Subset(allowed.ToHashSet(StringComparer.Ordinal), headings);
    }

    [Fact]
    public void The_readme_shows_the_two_commands_and_the_cautions()
    {
        var readme = File.ReadAllText(Path.Combine(Repository.Root, "README.md"));
        string[] expected =
        [
            "dotnet run -c Release --project src/Service -- demo", "bash tests/run.sh", "training information", "not a medical device",
            "predicts injuries", "Licensed staff and local rules decide", "by pseudonym only",
        ];
        Assert.All(expected, text => Assert.Contains(text, readme, StringComparison.Ordinal));
    }

    private static IEnumerable<(string Name, string[] Lines)> Records() => Directory.GetFiles(Decisions, "*.md")
        .Where(file => Path.GetFileName(file) != "README.md")
        .Order(StringComparer.Ordinal)
        .Select(file => (Path.GetFileName(file), File.ReadAllLines(file)));

    [GeneratedRegex(@"\]\((?<target>[^)#\s]+)(#[^)]*)?\)", RegexOptions.ExplicitCapture, matchTimeoutMilliseconds: 1000)]
    private static partial Regex Link();
}
