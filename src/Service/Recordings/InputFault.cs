using System.Globalization;

namespace Saltograph.Service.Recordings;

/// <summary>What is wrong with an input, where, and what would be right.</summary>
/// <param name="File">The file, as the caller named it.</param>
/// <param name="Found">What was found.</param>
/// <param name="Allowed">What is allowed instead.</param>
/// <param name="Line">Line in the file, counted from 1; null when the whole file is meant.</param>
/// <param name="Column">Column or key; null when none is meant.</param>
internal sealed record InputFault(string File, string Found, string Allowed, long? Line = null, string? Column = null)
{
    /// <summary>All of it on one line.</summary>
    public override string ToString()
    {
        var line = Line is { } number ? string.Create(CultureInfo.InvariantCulture, $", line {number}") : "";
        var column = Column is null ? "" : $", {Column}";
        return $"{File}{line}{column}: found {Found}; allowed: {Allowed}.";
    }
}
