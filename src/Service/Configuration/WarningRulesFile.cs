using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using Saltograph.Load;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Configuration;

/// <summary>File <c>warnings.json</c>: the rules of the warnings. Each rule names its <c>type</c>; the other keys are those of the type.</summary>
internal static class WarningRulesFile
{
    /// <summary>How rules are read and written.</summary>
    public static readonly JsonSerializerOptions Json = new(ConfigurationFile.Strict)
    {
        AllowOutOfOrderMetadataProperties = true,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false) },
        TypeInfoResolver = new DefaultJsonTypeInfoResolver { Modifiers = { NameTypes } },
        WriteIndented = true,
    };

    /// <summary>Reads and checks it.</summary>
    /// <param name="path">The file; need not be there.</param>
    /// <param name="rules">The rules; null when there is a fault.</param>
    /// <returns>Every fault.</returns>
    public static IReadOnlyList<InputFault> Read(string path, out WarningRules? rules)
    {
        rules = WarningRules.Proposed;
        if (!File.Exists(path))
        {
            return [];
        }

        if (ConfigurationFile.Read(path, Json, out rules) is { } fault)
        {
            return [fault];
        }

        return [.. Faults(rules!).Select(found => new InputFault(path, $"'{found.Found}'", found.Allowed, null, found.Where))];
    }

    /// <summary>Reads and checks rules that somebody enters.</summary>
    /// <param name="text">The rules.</param>
    /// <param name="rules">The rules; null when there is a fault.</param>
    /// <returns>Every fault, at its place as the file spells it.</returns>
    public static IReadOnlyList<Fault> Read(JsonElement text, out WarningRules? rules)
    {
        try
        {
            rules = text.Deserialize<WarningRules>(Json);
        }
        catch (Exception problem) when (problem is JsonException or NotSupportedException or InvalidOperationException)
        {
            // The second kind: a rule without a type; the third: a text that is not UTF-8, which an element holds unread.
            rules = null;
            return [new("body", problem.Message, "an object as in warnings.json")];
        }

        var faults = rules is null ? [new("body", "null", "an object as in warnings.json")] : Faults(rules);
        rules = faults.Count == 0 ? rules : null;
        return faults;
    }

    /// <summary>A place in the rules as the file spells it.</summary>
    public static string Place(string where) => string.Join('.', where.Split('.').Select(JsonNamingPolicy.CamelCase.ConvertName));

    private static IReadOnlyList<Fault> Faults(WarningRules rules) => rules.Rules.Any(rule => rule is null)
        ? [new("rules", "null", "objects with a type")]
        : [.. rules.Faults().Select(fault => new Fault(Place(fault.Where), fault.Found, fault.Allowed))];

    private static void NameTypes(JsonTypeInfo type)
    {
        if (type.Type == typeof(WarningRule))
        {
            type.PolymorphismOptions = new()
            {
                TypeDiscriminatorPropertyName = "type",
                UnknownDerivedTypeHandling = JsonUnknownDerivedTypeHandling.FailSerialization,
                DerivedTypes =
                {
                    new(typeof(LandingCountRule), "landing-count"),
                    new(typeof(ShockRiseRule), "shock-rise"),
                    new(typeof(LimitRule), "limit"),
                    new(typeof(FatigueRule), "fatigue"),
                    new(typeof(AsymmetryRule), "asymmetry"),
                    new(typeof(SensorRule), "sensor"),
                },
            };
        }

        // What the type fixes is not for the file.
        foreach (var fixedByType in type.Properties.Where(property => property.Set is null && typeof(WarningRule).IsAssignableFrom(type.Type)).ToList())
        {
            type.Properties.Remove(fixedByType);
        }
    }
}
