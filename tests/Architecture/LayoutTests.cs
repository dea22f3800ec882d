using System.Xml.Linq;
using Saltograph.Testing;

namespace Saltograph.Architecture;

/// <summary>Where things are, how long they are, and what no file may contain.</summary>
public sealed class LayoutTests
{
    private const int LongestFileLines = 350;
    private const int OneScreenLines = 60;

    // Split, so that this file does not find itself.
    private static readonly string[] ForbiddenTexts =
    [
        "/wo" + "rk/", "/ro" + "ot/", "/ho" + "me/", "C:" + "\\",
        "nuget" + ".org", "npmjs" + ".", "pypi" + ".org", "deb." + "debian.org",
        "NotImplemented" + "Exception",
    ];

    [Fact]
    public void The_solution_lists_every_project()
    {
        var listed = XDocument.Load(Path.Combine(Repository.Root, "Saltograph.slnx"))
            .Descendants("Project").Select(project => project.Attribute("Path")!.Value.Replace('\\', '/'));
        var present = new[] { "src", "tests" }
            .SelectMany(folder => SourceFiles.All(Path.Combine(Repository.Root, folder)))
            .Where(file => file.EndsWith(".csproj", StringComparison.Ordinal))
            .Select(SourceFiles.Relative);
        Assert.Equal(present.Order(StringComparer.Ordinal), listed.Order(StringComparer.Ordinal), StringComparer.Ordinal);
    }

    [Fact]
    public void A_project_has_the_name_of_its_folder()
    {
        var strange = SourceProject.All.Where(project => project.Name != Path.GetFileName(project.Folder)).Select(project => project.Path);
        Violations.None(strange);
    }

    [Fact]
    public void Every_project_has_tests_of_its_own() => Assert.All(
        SourceProject.All,
        project => Assert.True(File.Exists(Path.Combine(Repository.Root, "tests", $"{project.Name}.Tests", $"{project.Name}.Tests.csproj"))));

    [Fact]
    public void Every_project_explains_itself_on_one_screen()
    {
        foreach (var project in SourceProject.All)
        {
            var page = Path.Combine(project.Folder, "README.md");
            Assert.True(File.Exists(page), $"{project.Name} has no README.md");
            Assert.InRange(File.ReadLines(page).Count(), 5, OneScreenLines);
        }
    }

    [Fact]
    public void Source_files_stay_short()
    {
        var tooLong = SourceFiles.Under(SourceProject.SourceFolder)
            .Select(file => (File: SourceFiles.Relative(file), Lines: File.ReadLines(file).Count()))
            .Where(file => file.Lines > LongestFileLines)
            .Select(file => $"{file.File} has {file.Lines} lines; allowed: {LongestFileLines}");
        Violations.None(tooLong);
    }

    [Fact]
    public void No_tracked_file_names_a_machine_a_registry_or_a_missing_part()
    {
        var found = from file in TrackedFiles()
                    let text = File.ReadAllText(Path.Combine(Repository.Root, file))
                    from forbidden in ForbiddenTexts
                    where text.Contains(forbidden, StringComparison.OrdinalIgnoreCase)
                    select $"{file} contains '{forbidden}'";
        Violations.None(found);
    }

    // Without a .git folder (an exported tree) every file counts as tracked.
    private static IEnumerable<string> TrackedFiles()
    {
        if (!Path.Exists(Path.Combine(Repository.Root, ".git")))
        {
            return SourceFiles.All(Repository.Root).Select(SourceFiles.Relative);
        }

        var (exitCode, listed) = Tool.Run("git", "-c", "core.quotePath=false", "ls-files");
        Assert.Equal(0, exitCode);
        return listed.Split('\n', StringSplitOptions.RemoveEmptyEntries).Where(file => File.Exists(Path.Combine(Repository.Root, file)));
    }
}
