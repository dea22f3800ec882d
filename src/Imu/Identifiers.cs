using System.Buffers;
using System.Diagnostics.CodeAnalysis;

namespace Saltograph.Imu;

/// <summary>The common form of hall, sensor and athlete ids: 1 to 32 characters out of a-z, 0-9 and the hyphen.</summary>
public static class IdText
{
    /// <summary>Longest allowed id, in characters.</summary>
    public const int LongestLength = 32;

    /// <summary>What an id may look like, in words for a message.</summary>
    public const string Allowed = "1 to 32 characters a-z, 0-9 or -";

    private static readonly SearchValues<char> AllowedCharacters = SearchValues.Create("abcdefghijklmnopqrstuvwxyz0123456789-");

    /// <summary>Whether the text is an id.</summary>
    public static bool IsValid([NotNullWhen(true)] string? text) =>
        text is { Length: >= 1 and <= LongestLength } && text.AsSpan().IndexOfAnyExcept(AllowedCharacters) < 0;

    internal static string Require(string? text, string what) => IsValid(text)
        ? text
        : throw new ArgumentException($"{what} '{text}' is not allowed; allowed: {Allowed}.", nameof(text));
}

/// <summary>A person, by pseudonym only. Names never enter the core.</summary>
public readonly record struct AthleteId
{
    /// <summary>Takes a pseudonym. Throws <see cref="ArgumentException"/> when it is not an id.</summary>
    public AthleteId(string value) => Value = IdText.Require(value, "Athlete id");

    /// <summary>The text, as in topics and records.</summary>
    public string Value { get; }

    /// <inheritdoc/>
    public override string ToString() => Value;
}

/// <summary>A sensor, by the id in its topics.</summary>
public readonly record struct SensorId
{
    /// <summary>Takes an id. Throws <see cref="ArgumentException"/> when it is not one.</summary>
    public SensorId(string value) => Value = IdText.Require(value, "Sensor id");

    /// <summary>The text, as in topics.</summary>
    public string Value { get; }

    /// <inheritdoc/>
    public override string ToString() => Value;
}

/// <summary>A training hall, by the id in its topics.</summary>
public readonly record struct HallId
{
    /// <summary>Takes an id. Throws <see cref="ArgumentException"/> when it is not one.</summary>
    public HallId(string value) => Value = IdText.Require(value, "Hall id");

    /// <summary>The text, as in topics.</summary>
    public string Value { get; }

    /// <inheritdoc/>
    public override string ToString() => Value;
}

/// <summary>Names one power-up of a sensor: random at each start, so that clocks and sequence numbers of two starts never mix.</summary>
/// <param name="Value">The 32 random bits.</param>
public readonly record struct BootId(uint Value);
