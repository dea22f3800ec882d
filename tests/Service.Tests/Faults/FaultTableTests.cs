using System.Reflection;
using Saltograph.Testing;

namespace Saltograph.Service.Tests.Faults;

/// <summary>The page of faults is made of the tests that provoke them: no row without a test. SALTOGRAPH_APPROVE=1 writes it anew.</summary>
public sealed class FaultTableTests
{
    private static readonly string Page = Path.Combine(Repository.Root, "src", "Service", "FAULTS.md");

    [Fact]
    public void The_page_has_a_row_for_each_fault_that_a_test_provokes_and_no_other()
    {
        var rows = from type in typeof(FaultTableTests).Assembly.GetTypes()
                   from method in type.GetMethods(BindingFlags.Public | BindingFlags.Instance | BindingFlags.DeclaredOnly)
                   let fault = method.GetCustomAttribute<FaultAttribute>()
                   where fault is not null
                   select $"| {fault.Fault} | {fault.Happens} | {fault.Lost} | {fault.Back} | `{type.Name}.{method.Name}` |";
        var table = string.Join('\n', rows.Order(StringComparer.Ordinal));
        var text = File.ReadAllText(Page).ReplaceLineEndings("\n");
        var start = text.IndexOf("|---|---|---|---|---|\n", StringComparison.Ordinal) + "|---|---|---|---|---|\n".Length;
        if (string.Equals(Environment.GetEnvironmentVariable("SALTOGRAPH_APPROVE"), "1", StringComparison.Ordinal))
        {
            File.WriteAllText(Page, text[..start] + table + "\n");
            return;
        }

        Assert.Equal(table, text[start..].TrimEnd());
        Assert.True(table.Split('\n').Length >= 10);
    }

    // A row whose test nobody runs would be a promise only.
    [Fact]
    public void Each_of_them_is_a_test() => Assert.All(
        typeof(FaultTableTests).Assembly.GetTypes().SelectMany(type => type.GetMethods()).Where(method => method.IsDefined(typeof(FaultAttribute))),
        method => Assert.True(method.IsDefined(typeof(FactAttribute), inherit: true), method.Name));
}
