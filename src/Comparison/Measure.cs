namespace Saltograph.Comparison;

/// <summary>How a measure with a sign is compared.</summary>
public enum SignRule
{
    /// <summary>As it is.</summary>
    Plain,

    /// <summary>
    /// Positive in the direction in which the jump turned in the air: else the mean of turns to the left and to the right
    /// would be near zero and say nothing.
    /// </summary>
    AlongTheTurn,
}

/// <summary>One of the quantities that jumps are compared by, with the words for its differences.</summary>
/// <param name="Key">Key in the jump record; a dot leads into an object.</param>
/// <param name="Name">What people call it.</param>
/// <param name="Unit">UCUM code.</param>
/// <param name="Decimals">Places that are worth showing.</param>
/// <param name="Larger">Words of the trade for more of it.</param>
/// <param name="Smaller">Words of the trade for less of it.</param>
/// <param name="Sign">What becomes of its sign.</param>
public sealed record Measure(string Key, string Name, string Unit, int Decimals, string Larger, string Smaller, SignRule Sign = SignRule.Plain);
