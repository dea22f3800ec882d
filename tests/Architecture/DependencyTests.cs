using System.Runtime.CompilerServices;

namespace Saltograph.Architecture;

/// <summary>The projects under src against dependencies.txt, both ways.</summary>
public sealed class DependencyTests
{
    private static readonly Dictionary<string, (string[] Projects, string[] Packages, string[] Unknown)> Table =
        DataFile.Rows("dependencies.txt", columns: 4).ToDictionary(
            row => row[0],
            row => (DataFile.List(row[1]), DataFile.List(row[2]), DataFile.List(row[3])),
            StringComparer.Ordinal);

    [Fact]
    public void Every_project_has_a_row_and_every_row_a_project() => Assert.Equal(
        Table.Keys.Order(StringComparer.Ordinal),
        SourceProject.All.Select(project => project.Name).Order(StringComparer.Ordinal),
        StringComparer.Ordinal);

    [Fact]
    public void Projects_reference_exactly_the_projects_they_may() =>
        Violations.None(Differences(project => project.ProjectReferences, row => row.Projects));

    [Fact]
    public void Projects_reference_exactly_the_packages_they_may() =>
        Violations.None(Differences(project => project.Packages, row => row.Packages));

    [Fact]
    public void Nothing_of_the_core_reaches_a_shared_framework_or_a_loose_assembly()
    {
        foreach (var project in SourceProject.Core)
        {
            Assert.Equal("Microsoft.NETCore.App", Assert.Single(project.Items("FrameworkReference")));
            Violations.None(project.Items("Reference"));
            Assert.Contains(project.Property("UsingMicrosoftNETSdkWeb"), ["", "false"], StringComparer.Ordinal);
        }
    }

    [Fact]
    public void The_core_is_the_nine_pure_projects() => Assert.Equal(
        ["Ahrs", "Comparison", "Imu", "Jumps", "Load", "Pipeline", "Signals", "Simulator", "Wire"],
        SourceProject.Core.Select(project => project.Name),
        StringComparer.Ordinal);

    // Otherwise a type of a project two steps away would compile, and the table would say less than it seems.
    [Fact]
    public void References_are_not_passed_on() =>
        Assert.All(SourceProject.All, project => Assert.Equal("true", project.Property("DisableTransitiveProjectReferences")));

    // The compiler drops references that no code uses, so the compiled list alone cannot stand for the table above.
    [Fact]
    public void Every_referenced_project_is_used_by_the_compiled_code()
    {
        var unused = from project in SourceProject.All
                     let used = CompiledReferences(project)
                     from reference in project.ProjectReferences
                     where !used.Contains($"Saltograph.{reference}", StringComparer.Ordinal)
                     select $"{project.Name} references {reference}, and no line of it uses that.";
        Violations.None(unused);
    }

    // Packages of the core have one assembly, of the same name. Those of Service register themselves in roundabout ways.
    [Fact]
    public void Every_package_of_the_core_is_used_by_the_compiled_code()
    {
        var unused = from project in SourceProject.Core
                     from package in project.Packages
                     where !CompiledReferences(project).Contains(package, StringComparer.Ordinal)
                     select $"{project.Name} takes the package {package}, and no line of it uses that.";
        Violations.None(unused);
    }

    [Fact]
    public void No_compiled_project_knows_what_it_must_not_know()
    {
        var known = from project in SourceProject.All
                    from reference in CompiledReferences(project)
                    from unknown in Table[project.Name].Unknown
                    where reference == unknown || reference.StartsWith(unknown + '.', StringComparison.Ordinal)
                    select $"{project.Name} uses {reference}; it must not know {unknown}.";
        Violations.None(known);
    }

    [Fact]
    public void Internals_are_visible_to_the_projects_own_tests_and_to_the_fuzzing_of_readers_only()
    {
        var shown = from project in SourceProject.All
                    from attribute in project.Assembly.GetCustomAttributes(typeof(InternalsVisibleToAttribute), inherit: false)
                    let friend = ((InternalsVisibleToAttribute)attribute).AssemblyName
                    where friend != $"Saltograph.{project.Name}.Tests" && friend != "Saltograph.Fuzz"
                    select $"{project.Name} shows its internals to {friend}; allowed: Saltograph.{project.Name}.Tests, Saltograph.Fuzz.";
        Violations.None(shown);
    }

    private static IEnumerable<string> Differences(
        Func<SourceProject, IEnumerable<string>> referenced,
        Func<(string[] Projects, string[] Packages, string[] Unknown), string[]> allowed)
    {
        foreach (var project in SourceProject.All.Where(project => Table.ContainsKey(project.Name)))
        {
            var found = referenced(project).ToHashSet(StringComparer.Ordinal);
            var row = allowed(Table[project.Name]).ToHashSet(StringComparer.Ordinal);
            foreach (var extra in found.Except(row, StringComparer.Ordinal))
            {
                yield return $"{project.Name} references {extra}; dependencies.txt does not allow it.";
            }

            foreach (var missing in row.Except(found, StringComparer.Ordinal))
            {
                yield return $"dependencies.txt allows {project.Name} to reference {missing}; it does not.";
            }
        }
    }

    private static List<string> CompiledReferences(SourceProject project) =>
        project.Assembly.GetReferencedAssemblies().Select(name => name.Name!).ToList();
}
