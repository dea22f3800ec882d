using System.Globalization;
using System.Text.Json;

namespace Saltograph.Board.Text;

/// <summary>All texts of the pages and reports, by key. A language is the files beside this one that begin with its name, such as <c>en.json</c> and <c>en.reports.json</c>; English is complete and stands in for what another lacks.</summary>
public sealed class Words
{
    private readonly Dictionary<string, string> _texts;

    /// <summary>Reads a language.</summary>
    /// <param name="language">Two letters; default <c>en</c>.</param>
    public Words(string language = "en")
    {
        _texts = Read("en")!;
        foreach (var (key, text) in language == "en" ? [] : Read(language) ?? throw new ArgumentException($"Language: found '{language}'; allowed: the names of the files in Text.", nameof(language)))
        {
            _texts[key] = text;
        }

        Language = language;
    }

    /// <summary>Two letters.</summary>
    public string Language { get; }

    /// <summary>The text of a key; the key itself when there is none, so that it is seen.</summary>
    public string this[string key] => _texts.GetValueOrDefault(key, key);

    /// <summary>All keys.</summary>
    public IReadOnlyCollection<string> Keys => _texts.Keys;

    /// <summary>Whether there is a text.</summary>
    public bool Has(string key) => _texts.ContainsKey(key);

    /// <summary>A text with places filled in.</summary>
    public string Of(string key, params object?[] values) => string.Format(CultureInfo.InvariantCulture, this[key], values);

    private static Dictionary<string, string>? Read(string language)
    {
        var files = typeof(Words).Assembly.GetManifestResourceNames().Where(name => name.StartsWith($"{typeof(Words).Namespace}.{language}.", StringComparison.Ordinal));
        Dictionary<string, string>? texts = null;
        foreach (var file in files)
        {
            texts ??= new(StringComparer.Ordinal);
            using var stream = typeof(Words).Assembly.GetManifestResourceStream(file)!;
            foreach (var (key, text) in JsonSerializer.Deserialize<Dictionary<string, string>>(stream)!)
            {
                texts.Add(key, text);
            }
        }

        return texts;
    }
}
