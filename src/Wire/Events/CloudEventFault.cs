namespace Saltograph.Wire.Events;

/// <summary>Why a message is not a CloudEvents 1.0 event.</summary>
public enum CloudEventFault
{
    /// <summary>It is one.</summary>
    None = 0,

    /// <summary>Not JSON.</summary>
    NotJson,

    /// <summary>JSON, but not an object.</summary>
    NotAnObject,

    /// <summary>id, source, type or specversion is absent or empty.</summary>
    MissingAttribute,

    /// <summary>An attribute of the wrong JSON type, or twice.</summary>
    WrongType,

    /// <summary>A specversion other than 1.0.</summary>
    UnknownSpecVersion,

    /// <summary>An attribute name with other characters than a-z and 0-9.</summary>
    BadAttributeName,

    /// <summary>time is not RFC 3339.</summary>
    BadTime,

    /// <summary>Both data and data_base64.</summary>
    TwoDataMembers,

    /// <summary>data_base64 is not base64.</summary>
    BadBase64,

    /// <summary>More than 64 KiB.</summary>
    TooLarge,
}

/// <summary>The result of reading an event.</summary>
/// <param name="Fault">The reason, none when accepted.</param>
/// <param name="Attribute">The attribute that the fault is about; null for the event as a whole.</param>
/// <param name="Found">What was found, cut to 64 characters; null when absent.</param>
public readonly record struct CloudEventVerdict(CloudEventFault Fault, string? Attribute = null, string? Found = null)
{
    private const int LongestFound = 64;

    /// <summary>Whether the event was taken.</summary>
    public bool IsAccepted => Fault == CloudEventFault.None;

    /// <inheritdoc/>
    public override string ToString() => IsAccepted
        ? "accepted"
        : $"{Fault}: {Attribute ?? "event"}: found {Shorten(Found) ?? "nothing"}; allowed: CloudEvents 1.0, structured JSON up to 64 KiB.";

    private static string? Shorten(string? text) => text is { Length: > LongestFound } ? text[..LongestFound] + "..." : text;
}
