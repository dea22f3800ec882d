using System.Reflection;
using System.Runtime.CompilerServices;

namespace Saltograph.Architecture;

/// <summary>Options, coefficients, state and filter look the same everywhere.</summary>
public sealed class ShapeTests
{
    private static readonly string[] Stateless = [.. DataFile.Rows("stateless.txt", columns: 2).Select(row => row[0])];

    private static IEnumerable<Type> CoreTypes => SourceProject.Core.SelectMany(project => project.Assembly.GetExportedTypes());

    public static TheoryData<string> OptionTypes() => [.. CoreTypes.Where(IsOptions).Select(type => type.AssemblyQualifiedName!)];

    [Fact]
    public void There_are_options_to_look_at() => Assert.NotEmpty(OptionTypes());

    [Theory]
    [MemberData(nameof(OptionTypes))]
    public void Options_are_sealed_records_that_nobody_changes_after_init(string name)
    {
        var type = Type.GetType(name, throwOnError: true)!;
        Assert.True(type.IsSealed, $"{type} is not sealed");
        Assert.True(type.GetMethod("<Clone>$") is not null, $"{type} is not a record class");
        var changeable = type.GetProperties(BindingFlags.Public | BindingFlags.Instance)
            .Where(property => property.SetMethod is { IsPublic: true } setter
                && !setter.ReturnParameter.GetRequiredCustomModifiers().Contains(typeof(IsExternalInit)));
        var fields = type.GetFields(BindingFlags.Public | BindingFlags.Instance);
        Violations.None(changeable.Concat<MemberInfo>(fields).Select(member => $"{type}.{member.Name} can be changed"));
    }

    [Theory]
    [MemberData(nameof(OptionTypes))]
    public void Options_have_a_complete_set_of_defaults_that_is_allowed(string name)
    {
        var type = Type.GetType(name, throwOnError: true)!;
        var options = Activator.CreateInstance(type);
        var validate = type.GetMethod("Validate", BindingFlags.Public | BindingFlags.Instance, Type.EmptyTypes);
        Assert.True(validate is not null, $"{type} has no public Validate()");
        Assert.Equal(typeof(void), validate.ReturnType);
        validate.Invoke(options, null);
    }

    // NaN passes every check that is written as "outside the limits": each number must be refused by one that is not.
    [Theory]
    [MemberData(nameof(OptionTypes))]
    public void Options_refuse_a_number_that_is_none_and_name_it(string name)
    {
        var type = Type.GetType(name, throwOnError: true)!;
        var validate = type.GetMethod("Validate", BindingFlags.Public | BindingFlags.Instance, Type.EmptyTypes)!;
        foreach (var property in type.GetProperties().Where(property => property is { CanWrite: true } && property.PropertyType == typeof(double)))
        {
            var options = Activator.CreateInstance(type);
            property.SetValue(options, double.NaN);
            var refusal = Record.Exception(() => validate.Invoke(options, null)) as TargetInvocationException;
            Assert.True(refusal?.InnerException is ArgumentException, $"{type.Name}.{property.Name} may be NaN");
            Assert.Contains(property.Name, refusal.InnerException.Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Classes_that_take_samples_can_be_captured_and_restored()
    {
        var incomplete = CoreTypes.Where(type => TakesSamples(type) && !Stateless.Contains(type.FullName, StringComparer.Ordinal) && !CanBeRestored(type));
        Violations.None(incomplete.Select(type => $"{type} has no Capture() with a Restore(...) for what it returns"));
    }

    [Fact]
    public void Every_class_excused_from_that_still_takes_samples_and_has_a_reason()
    {
        Violations.None(Stateless.Except(CoreTypes.Where(TakesSamples).Select(type => type.FullName!), StringComparer.Ordinal));
        Assert.All(DataFile.Rows("stateless.txt", columns: 2), row => Assert.NotEmpty(row[1]));
    }

    [Fact]
    public void Classes_of_the_core_are_sealed_or_static()
    {
        var open = CoreTypes.Where(type => type is { IsClass: true, IsSealed: false, IsAbstract: false } && !type.IsSubclassOf(typeof(Exception)));
        Violations.None(open.Select(type => $"{type} is open to inheritance"));
    }

    private static bool IsOptions(Type type) => type.IsClass && type.Name.EndsWith("Options", StringComparison.Ordinal);

    // Push and Update are the words of this project for "take the next one".
    private static bool TakesSamples(Type type) => type is { IsClass: true, IsAbstract: false }
        && type.GetMethods(BindingFlags.Public | BindingFlags.Instance | BindingFlags.DeclaredOnly)
            .Any(method => method.Name.StartsWith("Push", StringComparison.Ordinal) || method.Name.StartsWith("Update", StringComparison.Ordinal));

    private static bool CanBeRestored(Type type) =>
        type.GetMethod("Capture", Type.EmptyTypes) is { ReturnType: var state }
        && state != typeof(void)
        && type.GetMethods().Any(method => method.Name == "Restore"
            && method.GetParameters() is [{ ParameterType: var taken }]
            && (taken == state || taken == state.MakeByRefType()));
}
