namespace Saltograph.Service.Api;

/// <summary>What is wrong with a request.</summary>
/// <param name="Where">Query key, key of the body, or part of the path.</param>
/// <param name="Found">What was found.</param>
/// <param name="Allowed">What is allowed.</param>
internal sealed record ApiFault(string Where, string Found, string Allowed)
{
    /// <inheritdoc/>
    public override string ToString() => $"{Where}: found {Found}; allowed: {Allowed}.";
}

/// <summary>An answer, or what was wrong with the question; then nothing was done.</summary>
/// <param name="Value">The answer; null when there are faults.</param>
/// <param name="Faults">What is wrong.</param>
internal sealed record Answer<T>(T? Value, IReadOnlyList<ApiFault> Faults)
    where T : class
{
    /// <summary>An answer.</summary>
    public static implicit operator Answer<T>(T value) => new(value, []);

    /// <summary>A refusal.</summary>
    public static implicit operator Answer<T>(ApiFault fault) => new(null, [fault]);
}
