using System.Collections;
using System.Reflection;
using System.Runtime.CompilerServices;
using Saltograph.Imu;

namespace Saltograph.Architecture;

/// <summary>Every number with a possible unit that an assembly shows: parameters, properties and fields.</summary>
internal static class PublicNumbers
{
    private const BindingFlags Declared =
        BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly;

    /// <summary>The member, spelled as in unitless.txt, and the name that should carry the unit.</summary>
    public static IEnumerable<(string Member, string Name)> Of(Assembly assembly)
    {
        foreach (var type in assembly.GetExportedTypes())
        {
            var owner = type.FullName!.Replace('+', '.').Split('`')[0];
            foreach (var field in type.GetFields(Declared).Where(field => IsShown(field) && !field.IsSpecialName && IsNumber(field.FieldType)))
            {
                yield return ($"{owner}.{field.Name}", field.Name);
            }

            foreach (var property in type.GetProperties(Declared).Where(property => property.GetAccessors(nonPublic: true).Any(IsShown)))
            {
                if (IsNumber(property.PropertyType) && property.GetIndexParameters().Length == 0)
                {
                    yield return ($"{owner}.{property.Name}", property.Name);
                }
            }

            var methods = type.GetMembers(Declared).OfType<MethodBase>().Where(method => IsShown(method) && !IsAccessor(method));
            foreach (var method in methods)
            {
                foreach (var parameter in method.GetParameters().Where(parameter => IsNumber(parameter.ParameterType)))
                {
                    yield return ($"{owner}.{method.Name.TrimStart('.')}({parameter.Name})", parameter.Name!);
                }
            }
        }
    }

    private static bool IsShown(FieldInfo field) => field.IsPublic || field.IsFamily || field.IsFamilyOrAssembly;

    private static bool IsShown(MethodBase method) => method.IsPublic || method.IsFamily || method.IsFamilyOrAssembly;

    private static bool IsAccessor(MethodBase method) => method.IsSpecialName
        && (method.Name.StartsWith("get_", StringComparison.Ordinal) || method.Name.StartsWith("set_", StringComparison.Ordinal));

    private static bool IsNumber(Type type)
    {
        if (type.IsByRef || type.IsArray || type.IsPointer)
        {
            return IsNumber(type.GetElementType()!);
        }

        if (type == typeof(double) || type == typeof(float) || type == typeof(decimal) || type == typeof(Half) || type == typeof(Vector3D))
        {
            return true;
        }

        var holds = type.IsGenericType && !typeof(ITuple).IsAssignableFrom(type)
            && (Nullable.GetUnderlyingType(type) is not null || type.Name.Contains("Span", StringComparison.Ordinal)
                || type.Name.Contains("Memory", StringComparison.Ordinal) || typeof(IEnumerable).IsAssignableFrom(type));
        return holds && Array.Exists(type.GetGenericArguments(), IsNumber);
    }
}
