using System.Text.Json;
using System.Text.Json.Serialization;
using Saltograph.Service.Recordings;

namespace Saltograph.Service.Configuration;

/// <summary>Reads one configuration file: JSON with comments, every key known, no key twice.</summary>
internal static class ConfigurationFile
{
    /// <summary>How strictly.</summary>
    public static readonly JsonSerializerOptions Strict = new(JsonSerializerDefaults.Web)
    {
        AllowDuplicateProperties = false,
        AllowTrailingCommas = true,
        NumberHandling = JsonNumberHandling.Strict,
        PropertyNameCaseInsensitive = false,
        ReadCommentHandling = JsonCommentHandling.Skip,
        RespectNullableAnnotations = true,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
    };

    /// <summary>The options in a file; keys that are absent keep their defaults.</summary>
    /// <param name="path">The file.</param>
    /// <param name="options">The options; null when there is a fault.</param>
    /// <returns>What is wrong, or null.</returns>
    public static InputFault? Read<T>(string path, out T? options)
        where T : class => Read(path, Strict, out options);

    /// <summary>The same with further types of JSON values.</summary>
    public static InputFault? Read<T>(string path, JsonSerializerOptions strict, out T? options)
        where T : class
    {
        options = null;
        try
        {
            using var content = File.OpenRead(path);
            options = JsonSerializer.Deserialize<T>(content, strict);
            return options is null ? new(path, "null", "a JSON object") : null;
        }
        catch (Exception problem) when (problem is IOException or UnauthorizedAccessException)
        {
            return new(path, problem.Message.TrimEnd('.'), "a readable JSON file");
        }
        catch (NotSupportedException problem) when (problem.Message.Contains("type discriminator", StringComparison.Ordinal))
        {
            return new(path, "an object without its type", "the type of each rule, as in config/README.md", null, problem.Message.Split("Path: $.").ElementAtOrDefault(1)?.Split(' ')[0]);
        }
        catch (JsonException problem)
        {
            var key = problem.Path is { Length: > 2 } where ? where[2..] : null;
            var found = problem.Message.Split(" Path:", 2)[0].TrimEnd('.');
            return new(path, found, "the keys and values of config/README.md", problem.LineNumber + 1, key);
        }
    }
}
