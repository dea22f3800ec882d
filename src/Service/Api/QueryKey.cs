namespace Saltograph.Service.Api;

/// <summary>What a query key holds.</summary>
internal enum QueryKind
{
    /// <summary>A pseudonym or another id of the hall.</summary>
    Id,

    /// <summary>Any text.</summary>
    Text,

    /// <summary>One of some words.</summary>
    Word,

    /// <summary>A whole number.</summary>
    Whole,

    /// <summary>A finite number.</summary>
    Number,

    /// <summary>An instant, RFC 3339 with an offset.</summary>
    Time,

    /// <summary>A day of the hall.</summary>
    Day,
}

/// <summary>One key of a query. The same entry reads it, refuses it and documents it.</summary>
/// <param name="Name">As it stands in the query, with its unit.</param>
/// <param name="Kind">What it holds.</param>
/// <param name="Meaning">One sentence.</param>
internal sealed record QueryKey(string Name, QueryKind Kind, string Meaning)
{
    /// <summary>Smallest number that is allowed.</summary>
    public double Least { get; init; } = double.NegativeInfinity;

    /// <summary>Largest number that is allowed.</summary>
    public double Largest { get; init; } = double.PositiveInfinity;

    /// <summary>The words that are allowed.</summary>
    public IReadOnlyList<string> Words { get; init; } = [];
}

/// <summary>The keys that an operation takes; kept with the endpoint, so that the document tells them.</summary>
/// <param name="Keys">All of them.</param>
internal sealed record QueryKeys(IReadOnlyList<QueryKey> Keys);
