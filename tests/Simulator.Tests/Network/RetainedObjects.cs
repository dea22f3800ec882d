using System.Reflection;

namespace Saltograph.Simulator.Tests.Network;

/// <summary>Counts what an object keeps alive: objects and elements of arrays, through all fields.</summary>
internal static class RetainedObjects
{
    public static long Count(object root)
    {
        var seen = new HashSet<object>(ReferenceEqualityComparer.Instance);
        var open = new Stack<object>([root]);
        var count = 0L;
        while (open.TryPop(out var next))
        {
            // Types and delegates lead to the runtime itself.
            if (next is string or Type or MemberInfo or Assembly || !(next.GetType().IsValueType || seen.Add(next)))
            {
                continue;
            }

            count++;
            if (next is Array array)
            {
                count += array.Length;
                if (!Holds(array.GetType().GetElementType()!))
                {
                    continue;
                }

                foreach (var element in array)
                {
                    if (element is not null)
                    {
                        open.Push(element);
                    }
                }

                continue;
            }

            for (var type = next.GetType(); type is not null; type = type.BaseType)
            {
                const BindingFlags own = BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly;
                foreach (var field in type.GetFields(own).Where(field => Holds(field.FieldType)))
                {
                    if (field.GetValue(next) is { } value)
                    {
                        open.Push(value);
                    }
                }
            }
        }

        return count;
    }

    private static bool Holds(Type type) => !type.IsPrimitive && !type.IsEnum && !type.IsPointer;
}
