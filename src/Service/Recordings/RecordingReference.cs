namespace Saltograph.Service.Recordings;

/// <summary>One sensor in one CSV file, as given on the command line: <c>FILE</c>, or <c>FILE:prefix</c> when the file holds several.</summary>
/// <param name="Path">The file.</param>
/// <param name="Prefix">What stands before the sensor's column names, without the underscore; null when they have none.</param>
internal sealed record RecordingReference(string Path, string? Prefix)
{
    /// <summary>Splits at the last colon, unless the whole text names a file or the part after the colon cannot be a prefix.</summary>
    public static RecordingReference Parse(string text)
    {
        var colon = text.LastIndexOf(':');
        return colon <= 0 || colon == text.Length - 1 || File.Exists(text) || text.AsSpan(colon).ContainsAny('/', '\\')
            ? new(text, null)
            : new(text[..colon], text[(colon + 1)..]);
    }

    /// <summary>The name of a column of this sensor.</summary>
    public string Column(string name) => Prefix is null ? name : $"{Prefix}_{name}";

    /// <inheritdoc/>
    public override string ToString() => Prefix is null ? Path : $"{Path}:{Prefix}";
}
