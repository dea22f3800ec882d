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

        var faults = rules!.Rules.Any(rule => rule is null)
            ? [new Fault("rules", "null", "objects with a type")]
            : rules.Faults();
        return [.. faults.Select(found => new InputFault(path, $"'{found.Found}'", found.Allowed, null, Key(found.Where)))];
    }

    private static string Key(string where) => string.Join('.', where.Split('.').Select(JsonNamingPolicy.CamelCase.ConvertName));

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
