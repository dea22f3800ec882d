using System.Reflection;
using PublicApiGenerator;
using Saltograph.Testing;

namespace Saltograph.Architecture;

/// <summary>
/// What the core shows to the outside changes only on purpose: each project's public members stand in an approved text
/// under <c>tests/Architecture/api</c>. SALTOGRAPH_APPROVE=1 writes the texts anew; then read the difference.
/// </summary>
public sealed class PublicApiTests
{
    private static readonly string Folder = Path.Combine(Repository.Root, "tests", "Architecture", "api");

    private static readonly ApiGeneratorOptions Options = new() { IncludeAssemblyAttributes = false };

    public static TheoryData<string> CoreProjects => [.. SourceProject.Core.Select(project => project.Name)];

    [Theory]
    [MemberData(nameof(CoreProjects))]
    public void The_public_members_of_a_core_project_are_the_approved_ones(string project)
    {
        var found = Assembly.Load("Saltograph." + project).GeneratePublicApi(Options).ReplaceLineEndings("\n").TrimEnd() + "\n";
        var path = Path.Combine(Folder, project + ".txt");
        if (string.Equals(Environment.GetEnvironmentVariable("SALTOGRAPH_APPROVE"), "1", StringComparison.Ordinal))
        {
            Directory.CreateDirectory(Folder);
            File.WriteAllText(path, found);
            return;
        }

        var approved = File.Exists(path) ? File.ReadAllText(path).ReplaceLineEndings("\n") : string.Empty;
        Assert.True(
            string.Equals(found, approved, StringComparison.Ordinal),
            $"The public members of {project} differ from tests/Architecture/api/{project}.txt; if that is meant, "
                + $"SALTOGRAPH_APPROVE=1 dotnet test --project tests/Architecture writes it anew.\n{string.Join('\n', LineDifference.Of(approved.Split('\n'), found.Split('\n')))}");
    }

    [Fact]
    public void There_is_no_approved_text_without_its_project() => Assert.Equal(
        SourceProject.Core.Select(project => project.Name + ".txt").Order(StringComparer.Ordinal),
        Directory.GetFiles(Folder).Select(Path.GetFileName).Order(StringComparer.Ordinal));
}
